"""Where the axle lines lie in the chassis frame."""

from __future__ import annotations

from coachwork.build.sections.corner import End
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables


def rear_axle_x(tables: PartTables) -> float:
    """Of the chassis frame: one wheelbase as changed behind the front axle line. Raises NotMeasured."""
    stretch = number(tables.changes.stretch) if tables.changes.stretch.given else 0.0
    return -(number(tables.gear.wheelbase) + stretch)


def end_of(tables: PartTables, end: str) -> tuple[End, float]:
    """The running gear's measures of one end, and x of its axle line. Raises NotMeasured."""
    return (tables.gear.front, 0.0) if end == "front" else (tables.gear.rear, rear_axle_x(tables))
