"""A part that the builder drew: where its file is, how it lies in the chassis frame, and which holes it should have."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import require
from coachwork.build.sections.parts.own import Drawn
from coachwork.studies.makeability.specs.chassis import rear_axle_x
from coachwork.studies.makeability.specs.holes import HoleSpec, drilled, screw_of
from coachwork.studies.makeability.specs.plain import number, round_all
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe

AXES = {"x": (1.0, 0.0, 0.0), "-x": (-1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "-y": (0.0, -1.0, 0.0),
        "z": (0.0, 0.0, 1.0)}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class OwnSpec:
    """The file, and rows (x, y, z, shift) that carry its points to the part's frame: the chassis frame."""

    name: str
    step: str
    chassis_from_file: tuple[tuple[float, ...], ...]
    holes: tuple[HoleSpec, ...]


def own_spec(tables: PartTables, name: str, key: str, own: Drawn) -> OwnSpec:
    """Raises NotMeasured and CannotBe."""
    require(own.datum)
    forward, up = np.array(AXES[own.file_forward]), np.array(AXES[own.file_up])
    if abs(float(forward @ up)) > 0.5:
        raise CannotBe(f"{key}.file-up and file-forward name the same axis")
    turn = np.array([forward, np.cross(up, forward), up])
    shift = -turn @ own.datum.mm[0]
    holes = [drilled(hole, held, f"{key}.holes.{hole}") for hole, held in own.holes.items()]
    if name == "chassis":
        chassis = tables.parts.chassis
        screw = screw_of(chassis.bolt_screw, "parts.chassis.bolt-screw")
        for end, bolts, axle in (
            ("front", chassis.front_bolts, 0.0),
            ("rear", chassis.rear_bolts, rear_axle_x(tables) if chassis.rear_bolts else 0.0),
        ):
            for bolt, at in bolts.items():
                require(at.x, at.y)
                holes.append(
                    HoleSpec(name=f"{end}-bolts.{bolt}", at_mm=(round(axle + number(at.x), 4), number(at.y), 0.0),
                             axis=(0.0, 0.0, 1.0), diameter_mm=screw.medium_mm, purpose="clearance", screw=screw.name)
                )  # fmt: skip
    rows = np.column_stack([turn, shift])
    return OwnSpec(name=name, step=own.step.strip(), chassis_from_file=round_all(rows), holes=tuple(holes))
