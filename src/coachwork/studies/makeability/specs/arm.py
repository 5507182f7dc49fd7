"""Lower arms of changed length: what they are drawn from.

Own frame: origin halfway along the hinge pin on the chassis, x along that pin to its front end, y square to it towards
the outer pin, z up. The right arm is the left one mirrored.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import require
from coachwork.studies.makeability.specs.axles import rear_axle_x
from coachwork.studies.makeability.specs.holes import screw_of
from coachwork.studies.makeability.specs.plain import number, round_all
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe

Vector = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class ArmSpec:
    """All that the solid follows from, of the left arm in its own frame."""

    name: str
    hand: Literal["left", "right"]
    inner_length_mm: float
    outer_mm: Vector
    outer_axis: Vector
    outer_length_mm: float
    pin_mm: float
    barrel_mm: float
    web_mm: float
    damper_mm: Vector
    damper_hole_mm: float
    damper_screw: str
    chassis_from_part: tuple[tuple[float, ...], ...]


def arm_spec(tables: PartTables, end: Literal["front", "rear"], hand: Literal["left", "right"]) -> ArmSpec:
    """From the hardpoints, and how much longer the arm is. Raises NotMeasured and CannotBe."""
    own = tables.parts.front_arms if end == "front" else tables.parts.rear_arms
    held, change = (
        (tables.gear.front, tables.changes.front) if end == "front" else (tables.gear.rear, tables.changes.rear)
    )
    if held.kind != "camber-link":
        raise CannotBe(f'arms are drawn for running-gear.{end}.kind = "camber-link" so far')
    require(held.arm_pin_front, held.arm_pin_rear, held.hub_pin_front, held.hub_pin_rear, held.damper_outer)
    inner = np.array([held.arm_pin_front.mm[0], held.arm_pin_rear.mm[0]])
    outer = np.array([held.hub_pin_front.mm[0], held.hub_pin_rear.mm[0]])
    origin, along = inner.mean(axis=0), inner[0] - inner[1]
    span = float(np.linalg.norm(along))
    if span < 4.0:
        raise CannotBe(f"the {end} arm's hinge pin is {span:.1f} mm long; its two ends are too near to draw an arm by")
    along = along / span
    out = outer.mean(axis=0) - origin
    out = out - along * np.dot(out, along)
    reach = float(np.linalg.norm(out))
    out, longer = out / reach, (number(change.arm_longer) if change.arm_longer.given else 0.0)
    own_from_chassis = np.array([along, out, np.cross(along, out)])
    middle = own_from_chassis @ (outer.mean(axis=0) - origin) + [0.0, longer, 0.0]
    axis = own_from_chassis @ (outer[0] - outer[1])
    outer_span = float(np.linalg.norm(axis))
    damper = own_from_chassis @ (held.damper_outer.mm[0] - origin)
    barrel, pin, play = number(own.barrel), number(own.pin), number(own.play)
    screw = screw_of(own.damper_screw, f"parts.{end}-arms.damper-screw")
    if middle[1] < 2.2 * barrel:
        raise CannotBe(f"the {end} arm is {middle[1]:.1f} mm from pin to pin, too short for barrels of {barrel:.1f} mm")
    if barrel < pin + 1.6:
        raise CannotBe(f"barrels of {barrel:.1f} mm leave no wall round pins of {pin:.1f} mm")
    if not 0.0 < damper[1] < middle[1] - barrel / 2:
        raise CannotBe(f"the {end} damper's lower end lies {damper[1]:.1f} mm out, beyond the arm's outer pin")
    if hand == "right":  # mirrored: y of the chassis, and z of the arm, so that its frame stays right-handed
        mirror = np.diag([1.0, -1.0, 1.0])
        rows = own_from_chassis @ mirror
        rows[2] = -rows[2]
        origin = mirror @ origin
    else:
        rows = own_from_chassis
    axle = 0.0 if end == "front" else rear_axle_x(tables)
    pose = np.eye(4)
    pose[:3, :3], pose[:3, 3] = rows.T, origin + np.array([axle, 0.0, 0.0])
    outer_mm, outer_axis, damper_mm = round_all([middle, axis / outer_span, damper])
    return ArmSpec(
        name=f"{end}-arm-{hand}", hand=hand, inner_length_mm=round(span - play, 4), outer_mm=outer_mm,  # type: ignore[arg-type]
        outer_axis=outer_axis, outer_length_mm=round(outer_span - play, 4), pin_mm=pin, barrel_mm=barrel,  # type: ignore[arg-type]
        web_mm=number(own.thickness), damper_mm=damper_mm, damper_hole_mm=screw.pilot_mm,  # type: ignore[arg-type]
        damper_screw=screw.name, chassis_from_part=tuple(tuple(round(v, 9) for v in row) for row in pose.tolist()),
    )  # fmt: skip
