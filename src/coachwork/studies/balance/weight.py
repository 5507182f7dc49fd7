"""What the vehicle weighs and where its centre of gravity is: from the scale, or added up from its parts.

Chassis frame: x forward from the front axle line, y left, z up from the flat underside; masses in g, arrays (samples,).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import Mass, Numbers, Point, require
from coachwork.build.sections.masses import Lump, Masses
from coachwork.build.sections.scales import Scales
from coachwork.studies.balance.footing import Footing
from coachwork.studies.parts import CannotBe
from coachwork.studies.result import Result
from coachwork.studies.solids import PartWeight, PartWeights
from coachwork.studies.stowage.placed import Placing, has_place, placed

GRAVITY_MM_S2 = 9806.65  # standard gravity, ISO 80000-3


@dataclass(frozen=True, kw_only=True, eq=False)
class Weight(Result):
    """Mass and centre of gravity."""

    mass_g: Numbers
    cg_mm: Numbers  # (samples, 3)
    found_by: Literal["the scale", "adding up its parts"]

    @property
    def newton(self) -> Numbers:
        """Its weight."""
        return np.asarray(self.mass_g * GRAVITY_MM_S2 * 1e-6)


def of_parts(masses: Masses, stowed: Placing | None = None, made: PartWeights | None = None) -> Weight:
    """Sum of masses and of moments. Raises NotMeasured naming every number that a part lacks.

    stowed, made : a part of the same name as a box there, or as a part that stands made, takes that one's mass and
                   place where it has none of its own; what is in no line of [masses] is not added, so none counts twice
    """
    if not masses.each:
        raise CannotBe("no parts are listed under [masses]")
    parts = [
        _mass_and_place(name, lump, stowed, None if made is None else made.each.get(name))
        for name, lump in masses.each.items()
    ]
    require(*(entry for pair in parts for entry in pair if not isinstance(entry, np.ndarray)))
    mass = [entry if isinstance(entry, np.ndarray) else entry.g for entry, _ in parts]
    points = [place if isinstance(place, np.ndarray) else place.mm for _, place in parts]
    moment = [g[:, None] * point for g, point in zip(mass, points, strict=True)]
    whole = np.asarray(np.sum(np.broadcast_arrays(*mass), axis=0))
    about = np.sum(np.broadcast_arrays(*moment), axis=0)
    return Weight(mass_g=whole, cg_mm=about / whole[..., None], found_by="adding up its parts")


def _mass_and_place(
    name: str, lump: Lump, stowed: Placing | None, made: PartWeight | None
) -> tuple[Mass | Numbers, Point | Numbers]:
    if made is not None:
        mass = lump.mass if lump.mass.given else np.array([made.mass_g])
        return mass, lump.at if lump.at.given or made.at_mm is None else np.array([made.at_mm])
    if stowed is None or name not in stowed.boxes.each:
        return lump.mass, lump.at
    own = stowed.boxes.each[name].mass
    weighed = own if own.given and not lump.mass.given else lump.mass
    if lump.at.given or not has_place(stowed.places.each.get(name)):
        return weighed, lump.at
    return weighed, placed(name, stowed).middle


@dataclass(frozen=True, kw_only=True, eq=False)
class Readings(Result):
    """What the scale read under each wheel, and in front with the tail raised; g and mm."""

    front_left: Numbers
    front_right: Numbers
    rear_left: Numbers
    rear_right: Numbers
    raised_by: Numbers
    raised_front: Numbers


def readings(scales: Scales) -> Readings:
    """Raises NotMeasured."""
    corners = scales.front_left, scales.front_right, scales.rear_left, scales.rear_right
    require(*corners, scales.raised_by, scales.raised_front)
    front_left, front_right, rear_left, rear_right = (entry.g for entry in corners)
    return Readings(
        front_left=front_left,
        front_right=front_right,
        rear_left=rear_left,
        rear_right=rear_right,
        raised_by=scales.raised_by.mm,
        raised_front=scales.raised_front.g,
    )


def of_readings(read: Readings, on: Footing) -> Weight:
    """The reaction method: moments of the four wheels' readings; the height by raising the rear axle.

    The blocked vehicle turns about its front wheels by arcsin(raised / wheelbase); what the front reading grows by says
    how high the centre of gravity lies over the line through the wheel centres (ISO 10392, axle lift method; from
    memory). Tyres are taken to be stiff against the change of load. Raises CannotBe.
    """
    front, rear = read.front_left + read.front_right, read.rear_left + read.rear_right
    whole = front + rear
    behind = on.wheelbase_mm * rear / whole
    front_moment = (read.front_left - read.front_right) * on.half_track_mm["front"]
    rear_moment = (read.rear_left - read.rear_right) * on.half_track_mm["rear"]
    sine = read.raised_by / on.wheelbase_mm
    if float(sine.flat[0]) >= 1.0:
        raise CannotBe("the rear wheels cannot be raised further than the wheelbase is long")
    tangent = np.tan(np.arcsin(np.minimum(sine, 0.999)))
    over_axles = on.wheelbase_mm * (read.raised_front - front) / (whole * tangent)
    cg = -behind, (front_moment + rear_moment) / whole, on.between("axle_mm", -behind) + over_axles
    return Weight(mass_g=whole, cg_mm=np.stack(np.broadcast_arrays(*cg), axis=-1), found_by="the scale")
