"""The steering servo's seat and the bell-cranks' bosses."""

from __future__ import annotations

from coachwork.build import require
from coachwork.studies.makeability.specs.axles import end_of
from coachwork.studies.makeability.specs.chassis.spec import Boss
from coachwork.studies.makeability.specs.holes import HoleSpec, screw_of
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.stiffening import Box
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import attempt, is_missing
from coachwork.studies.stowage.placed import placed

UNDER_CRANK_MM = 0.5  # between a bell-crank's lower face and its boss
SERVO = "steering-servo"


def servo_seat(tables: PartTables) -> tuple[tuple[Box, ...], list[HoleSpec]]:
    """Two pillars under the servo's lugs; none where no servo is placed or its lugs are not measured."""
    own = tables.parts.chassis
    if SERVO not in tables.boxes.each:
        return (), []
    here = attempt(placed, SERVO, tables.placing)
    if is_missing(here):
        return (), []
    require(own.servo_body, own.servo_lugs)
    screw = screw_of(own.bolt_screw, "parts.chassis.bolt-screw")
    (x0, y0, z0), (x1, y1, _) = here.low[0], here.high[0]
    middle, gap = (x0 + x1) / 2, number(tables.making.fit_gap)
    inner, top = number(own.servo_body) / 2 + gap, float(z0) + number(own.servo_lugs)
    hole = ((x1 - x0) / 2 + inner) / 2  # middle of the lug
    outer = 2 * hole - inner + 1.0
    outer = max(outer, hole + screw.pilot_mm / 2 + screw.diameter_mm)
    across = (y1 - y0) / 2 - number(own.boss) / 2
    seats, holes = [], []
    for side, forward in (("rear", -1), ("front", 1)):
        xs = sorted((middle + forward * inner, middle + forward * outer))
        seats.append(
            (round(xs[0], 4), round(xs[1], 4), round(y0 - gap - 1, 4), round(y1 + gap + 1, 4), 0.0, round(top, 4))
        )
        for hand, left in (("right", -1), ("left", 1)):
            at = (round(middle + forward * hole, 4), round((y0 + y1) / 2 + left * across, 4), round(top, 4))
            holes.append(
                HoleSpec(name=f"servo.{side}-{hand}", at_mm=at, axis=(0.0, 0.0, -1.0), diameter_mm=screw.pilot_mm,
                         purpose="thread-forming", screw=screw.name, depth_mm=10.0)
            )  # fmt: skip
    return tuple(seats), holes


def crank_bosses(tables: PartTables, top: float) -> list[Boss]:
    """At their pivots, as high as the crank leaves room. Raises NotMeasured."""
    own = tables.parts.chassis
    bosses = []
    for end in ("front", "rear"):
        held, axle = end_of(tables, end)
        if held.steering.kind != "bell-crank":
            continue
        require(held.steering.pivot, held.steering.crank_width)
        x, y, z = held.steering.pivot.mm[0]
        high = float(z) - number(held.steering.crank_width) / 2 - UNDER_CRANK_MM
        if high <= top + 0.5:
            continue  # the crank lies on the floor; its screw is the builder's own hole
        for hand, left in (("left", 1), ("right", -1)):
            if own.crank_bosses not in ("both", hand):
                continue
            bosses.append(
                Boss(name=f"{end}-{hand}", x=round(axle + float(x), 4), y=round(left * float(y), 4), top=round(high, 4),
                     diameter_mm=number(own.boss), depth_mm=round(min(high - 1.2, 12.0), 4))
            )  # fmt: skip
    return bosses
