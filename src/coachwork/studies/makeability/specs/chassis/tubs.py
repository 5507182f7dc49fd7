"""Both ends of the chassis: past the neck, between the arms, to the damper tower."""

from __future__ import annotations

from typing import Literal

import numpy as np

from coachwork.build import require
from coachwork.studies.makeability.specs.axles import end_of
from coachwork.studies.makeability.specs.chassis.moving import CLEAR_MM
from coachwork.studies.makeability.specs.chassis.spec import Tub
from coachwork.studies.makeability.specs.chassis.steering import SERVO
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.stiffening import Rect
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe, attempt, is_missing
from coachwork.studies.stowage.placed import placed


def tub_of(tables: PartTables, end: Literal["front", "rear"], deck: Rect) -> Tub:
    """Room for the arms' barrels, then to the end that the build asks for. Raises NotMeasured and CannotBe."""
    own = tables.parts.chassis
    held, axle = end_of(tables, end)
    require(held.arm_pin_front, held.arm_pin_rear, held.damper_inner, held.damper_diameter)
    forward = 1 if end == "front" else -1
    pins = np.array([held.arm_pin_front.mm[0], held.arm_pin_rear.mm[0]])
    arms = tables.parts.front_arms if end == "front" else tables.parts.rear_arms
    room = number(arms.barrel) / 2 + CLEAR_MM
    half = float(np.abs(pins[:, 1]).min()) - room
    near = axle + (pins[:, 0].min() - room if end == "front" else pins[:, 0].max() + room)
    inner, radius = held.damper_inner.mm[0], number(held.damper_diameter) / 2
    face = axle + inner[0] + forward * (radius + CLEAR_MM)
    tower = sorted((face, face + forward * number(own.tower)))
    ends = axle + forward * number(own.ahead if end == "front" else own.behind)
    begins = deck[1] if end == "front" else deck[0]
    if forward * (near - begins) < 0:
        longer = "" if end == "front" else f", or make changes.stretch {begins - near:.1f} mm more"
        raise CannotBe(
            f"the deck's {end} edge lies {abs(near - begins):.1f} mm inside the room of the {end} arms' barrels; "
            f"end the outline of parts.chassis.deck at x = {near:.1f} mm{longer}"
        )
    if half < number(own.wall) + CLEAR_MM:
        raise CannotBe(
            f"between the {end} arms' pins, {2 * np.abs(pins[:, 1]).min():.1f} mm apart, no floor is left; "
            f"give parts.{end}-arms.barrel if it is less than {2 * (room - CLEAR_MM):.1f} mm"
        )
    if forward * (ends - tower[1 if forward > 0 else 0]) < 0:
        what = "ahead" if end == "front" else "behind"
        raise CannotBe(
            f"the {end} floor ends before its damper tower; make parts.chassis.{what} at least "
            f"{forward * (tower[1 if forward > 0 else 0] - axle):.1f} mm"
        )
    return Tub(
        end=end, begins=begins, neck_to=round(near, 4), ends=round(ends, 4),
        half_mm=round(half, 4), neck_half_mm=round(max(_neck_half(tables, end), half), 4),
        tower_x=(round(tower[0], 4), round(tower[1], 4)), damper_y=round(abs(float(inner[1])), 4),
        damper_z=round(float(inner[2]), 4),
    )  # fmt: skip


def _neck_half(tables: PartTables, end: str) -> float:
    """Wide enough for bell-cranks and servo, and as a third of the deck is, else."""
    own = tables.parts.chassis
    held, _ = end_of(tables, end)
    wanted = [30.0]
    if held.steering.kind == "bell-crank":
        wanted.append(abs(float(held.steering.pivot.mm[0][1])) + number(own.boss) / 2)
        servo = attempt(placed, SERVO, tables.placing)
        if SERVO in tables.boxes.each and not is_missing(servo):
            wanted += [abs(float(servo.low[0, 1])), abs(float(servo.high[0, 1]))]
    return max(wanted) + number(own.wall) + CLEAR_MM
