"""The battery door: what it is drawn from. In the chassis frame, as it is when shut.

seen from the left              z
____________________________  top
|tongue|  plug            nose>     over the floor's lower half at both ends
|________________________|   0   lips at the sides lie under the floor's upper half
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coachwork.studies.makeability.specs.chassis import Bay, chassis_spec
from coachwork.studies.makeability.specs.chassis.bay import ROOT_MM
from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import Latch


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
    room = longest_latch_mm(bay)
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


def longest_latch_mm(bay: Bay) -> float:
    """What there is room for at the door's front edge."""
    return (bay.opening[3] - bay.opening[2]) / 2 - 3.0


def roots(spec: DoorSpec) -> Iterator[tuple[float, float, float]]:
    """Of each latch: which way its beam runs, y of its root, y of its free end."""
    middle = (spec.bay.opening[2] + spec.bay.opening[3]) / 2
    for way in (-1.0, 1.0):
        root = middle + way * ROOT_MM
        yield way, root, root + way * spec.latch_length_mm


def latches(spec: DoorSpec, gap_mm: float) -> tuple[Latch, ...]:
    """As they are drawn, so that what closing does to them is known before the door is.

    gap_mm : all round between door and chassis
    """
    front = spec.bay.opening[1] - gap_mm
    return tuple(
        Latch(
            name="left" if way > 0 else "right",
            root_mm=(front - spec.latch_thickness_mm / 2, root, (spec.low_mm + spec.top_mm) / 2),
            along=(0.0, way, 0.0), bends=(-1.0, 0.0, 0.0), length_mm=spec.latch_length_mm,
            thickness_mm=spec.latch_thickness_mm, width_mm=spec.top_mm - spec.low_mm,
            deflection_mm=spec.latch_hook_mm - gap_mm,
        )
        for way, root, _ in roots(spec)
    )  # fmt: skip
