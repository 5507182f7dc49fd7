"""The battery door: what it is drawn from. In the chassis frame, as it is when shut.

seen from the left              z
____________________________  top
|tongue|  plug            nose>     over the floor's lower half at both ends
|________________________|   0   lips at the sides lie under the floor's upper half
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.studies.makeability.specs.chassis import Bay, chassis_spec
from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe


@dataclass(frozen=True, kw_only=True)
class DoorSpec:
    """All that the solid follows from. `pins` are middles of the pins, seen from above."""

    name: str
    bay: Bay
    low_mm: float
    top_mm: float
    latch_length_mm: float
    latch_thickness_mm: float
    latch_hook_mm: float
    pin_mm: float
    pins: tuple[tuple[float, float], ...]
    corner_mm: float
    holes: tuple[HoleSpec, ...] = ()


def door_spec(tables: PartTables) -> DoorSpec:
    """From the chassis it closes. Raises NotMeasured and CannotBe."""
    chassis, own = chassis_spec(tables), tables.parts.battery_door
    if chassis.bay is None:
        raise CannotBe("the chassis's deck has no door; give [decks.main.doors]")
    bay = chassis.bay
    length, hook = number(own.latch_length), number(own.latch_hook)
    _, _, y0, y1 = bay.opening
    room = (y1 - y0) / 2 - 3.0
    if length > room:
        raise CannotBe(
            f"a latch {length:.1f} mm long has no room at the door's front edge; "
            f"parts.battery-door.latch-length at most {room:.1f} mm"
        )
    if hook > bay.tongue_mm - 0.8:
        raise CannotBe(f"the latch's nose of {hook:.1f} mm reaches past the chassis's edge of {bay.tongue_mm:.1f} mm")
    return DoorSpec(
        name="battery-door", bay=bay, low_mm=round(chassis.top_mm - chassis.floor_mm, 4), top_mm=chassis.top_mm,
        latch_length_mm=length, latch_thickness_mm=number(own.latch_thickness), latch_hook_mm=hook, pin_mm=bay.pin_mm,
        pins=bay.pins, corner_mm=chassis.corner_mm,
    )  # fmt: skip
