"""Holes by which the ends of the running gear and the dampers are bolted on."""

from __future__ import annotations

from coachwork.build import require
from coachwork.build.sections.parts.chassis import Bolt
from coachwork.studies.makeability.specs.axles import rear_axle_x
from coachwork.studies.makeability.specs.chassis.spec import Tub
from coachwork.studies.makeability.specs.holes import HoleSpec, screw_of
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables


def end_bolts(tables: PartTables, end: str, bolts: dict[str, Bolt], low: float, thick: float) -> list[HoleSpec]:
    """From below, countersunk, measured from the end's axle line. Raises NotMeasured and CannotBe."""
    screw = screw_of(tables.parts.chassis.bolt_screw, "parts.chassis.bolt-screw")
    axle = 0.0 if end == "front" else rear_axle_x(tables)
    holes = []
    for name, bolt in bolts.items():
        require(bolt.x, bolt.y)
        holes.append(
            HoleSpec(name=f"{end}-bolts.{name}", at_mm=(round(axle + number(bolt.x), 4), number(bolt.y), round(low, 4)),
                     axis=(0.0, 0.0, 1.0), diameter_mm=screw.medium_mm, purpose="clearance", screw=screw.name,
                     sunk=True, most_mm=thick)
        )  # fmt: skip
    return holes


def damper_holes(tables: PartTables, tubs: tuple[Tub, Tub], tower: float) -> list[HoleSpec]:
    """Through each tower, one a side. Raises CannotBe."""
    screw = screw_of(tables.parts.chassis.bolt_screw, "parts.chassis.bolt-screw")
    holes = []
    for tub in tubs:
        face, way = (tub.tower_x[0], 1.0) if tub.end == "front" else (tub.tower_x[1], -1.0)
        for hand, left in (("left", 1), ("right", -1)):
            holes.append(
                HoleSpec(name=f"{tub.end}-dampers.{hand}", at_mm=(face, left * tub.damper_y, tub.damper_z),
                         axis=(way, 0.0, 0.0), diameter_mm=screw.medium_mm, purpose="clearance", screw=screw.name,
                         most_mm=tower)
            )  # fmt: skip
    return holes
