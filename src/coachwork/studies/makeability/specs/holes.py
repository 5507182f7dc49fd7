"""Holes that a spec asks for, and their sizes by what they are for."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build.sections.parts.own import DrilledHole, Into
from coachwork.catalogue.screws import SCREWS, Screw
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import Hole, Purpose, Vector

REAM_MM = 0.3  # a reamed seat is drawn so much narrower, besides what the process takes off; common practice, no source
WAYS: dict[Into, Vector] = {
    "up": (0.0, 0.0, 1.0), "down": (0.0, 0.0, -1.0), "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0), "front": (1.0, 0.0, 0.0), "rear": (-1.0, 0.0, 0.0),
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class HoleSpec:
    """One hole. `depth_mm` None: through all that is in its way within `most_mm`.

    screw_mm : length of the screw in it, from the entry face; None where it is not asked what it meets
    sunk     : countersunk at the entry    reamed : a bearing's seat that is drawn too narrow
    """

    name: str
    at_mm: Vector
    axis: Vector
    diameter_mm: float
    purpose: Purpose
    screw: str = ""
    depth_mm: float | None = None
    most_mm: float = 12.0
    sunk: bool = False
    reamed: bool = False
    screw_mm: float | None = None

    def as_hole(self, shrink_mm: float) -> Hole:
        """The feature that the solid has by it. A passage is drawn as it should be."""
        drawn = self.diameter_mm + (shrink_mm if self.purpose != "passage" else 0.0) - (REAM_MM if self.reamed else 0.0)
        return Hole(
            name=self.name, centre_mm=self.at_mm, axis=self.axis, diameter_mm=self.diameter_mm, drawn_mm=drawn,
            depth_mm=self.depth_mm if self.depth_mm is not None else self.most_mm,
            through=self.depth_mm is None, purpose=self.purpose, screw=self.screw,
        )  # fmt: skip


def screw_of(name: str, key: str) -> Screw:
    """A screw by its name. Raises CannotBe for one that is not in the catalogue."""
    screw = SCREWS.get(name.strip().upper())
    if screw is None:
        raise CannotBe(f'{key} = "{name}": there is no such screw here; there are {", ".join(SCREWS)}')
    return screw


def size_for(purpose: Purpose, screw: Screw) -> float:
    """ISO 273 medium for a screw that passes through; its pilot where it cuts its thread."""
    return screw.pilot_mm if purpose == "thread-forming" else screw.medium_mm


def drilled(name: str, hole: DrilledHole, key: str, *, reamed: bool = False) -> HoleSpec:
    """A hole of the builder's own. Raises NotMeasured and CannotBe."""
    at = hole.at.mm[0]
    screw = screw_of(hole.screw, f"{key}.screw") if hole.screw.strip() else None
    diameter = number(hole.diameter) if screw is None or hole.diameter.given else size_for(hole.purpose, screw)
    return HoleSpec(
        name=name if "." in name else f"holes.{name}",
        at_mm=(round(float(at[0]), 4), round(float(at[1]), 4), round(float(at[2]), 4)),
        axis=WAYS[hole.into], diameter_mm=diameter, purpose=hole.purpose, screw=screw.name if screw else "",
        depth_mm=number(hole.depth) if hole.depth.given else None,
        screw_mm=number(hole.length) if hole.length.given else None, reamed=reamed and hole.purpose == "bearing",
    )  # fmt: skip
