r"""Hub carriers of an end that does not steer: what they are drawn from.

            |link's boss|
        ____|___________|____
  hub's |###    shaft    ###|  two bearings, ### their seats
  face  |###_____________###|
           |    web     |
         lug|  arm's   |lug     seen from behind; the lugs lie before and behind the arm's end
            |hinge pin |

Own frame: axes along the chassis's, origin in the middle of the arm's outer hinge pin; of the left one, measured as the
donor's hardpoints were. The right one is the left one mirrored in y.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.corner import End
from coachwork.catalogue.bearings import BALL_BEARINGS, BallBearing
from coachwork.studies.makeability.specs.arm import Vector
from coachwork.studies.makeability.specs.axles import rear_axle_x
from coachwork.studies.makeability.specs.holes import REAM_MM, screw_of
from coachwork.studies.makeability.specs.plain import number, round_all
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe

LEAST_THREAD_MM = 3.0


@dataclass(frozen=True, kw_only=True)
class CarrierSpec:
    """All that the solid follows from.

    outer_mm, outboard   : middle of the outer bearing's outer face, and the unit vector along the axle, outboard
    seat_drawn_mm        : smaller than the ring where it is reamed
    shoulder_mm          : the bore between both seats
    pin_axis, pin_gap_mm : along the hinge pin forward; between the lugs, where the arm's end turns
    link_mm, link_screw  : face that the link's ball stud is screwed down into
    """

    name: str
    hand: Literal["left", "right"]
    outer_mm: Vector
    outboard: Vector
    across_mm: float
    ring_mm: float
    ring_width_mm: float
    seat_drawn_mm: float
    shoulder_mm: float
    wall_mm: float
    pin_axis: Vector
    pin_gap_mm: float
    pin_mm: float
    barrel_mm: float
    lug_mm: float
    link_mm: Vector
    link_pilot_mm: float
    link_depth_mm: float
    link_screw: str
    chassis_from_part: tuple[tuple[float, ...], ...]


def carrier_spec(tables: PartTables, hand: Literal["left", "right"]) -> CarrierSpec:
    """Of the rear end. Raises NotMeasured and CannotBe."""
    own, arms, held = tables.parts.rear_carriers, tables.parts.rear_arms, tables.gear.rear
    if held.kind != "camber-link":
        raise CannotBe('carriers are drawn for running-gear.rear.kind = "camber-link" so far')
    bearing = _bearing(own.bearing)
    require(held.hub_pin_front, held.hub_pin_rear, held.hub_face, held.camber_link_outer, held.rod_end_diameter)
    pin = np.array([held.hub_pin_front.mm[0], held.hub_pin_rear.mm[0]])
    origin, along = pin.mean(axis=0), pin[0] - pin[1]
    span = float(np.linalg.norm(along))
    outboard, across, wall = _outboard(held), number(own.bearings_across), number(own.wall)
    outer = held.hub_face.mm[0] - origin - number(own.behind_face) * outboard
    if across < 2 * bearing.width_mm + 1.0:
        raise CannotBe(
            f"two bearings of {bearing.width_mm:g} mm take {2 * bearing.width_mm + 1:.1f} mm with a shoulder between; "
            f"parts.rear-carriers.bearings-across = {across:.1f} mm"
        )
    body = bearing.outside_mm / 2 + wall
    middle = outer - across / 2 * outboard
    barrel = number(arms.pin) + 2 * wall
    if middle[2] - body < number(arms.barrel) / 2 + 1.0:
        raise CannotBe(
            f"the hub lies {middle[2]:.1f} mm over the arm's hinge pin; under a ring of {bearing.outside_mm:g} mm and "
            f"{wall:.1f} mm of wall the arm's end of {number(arms.barrel):.1f} mm does not turn"
        )
    screw = screw_of(own.link_screw, "parts.rear-carriers.link-screw")
    ball = held.camber_link_outer.mm[0] - origin
    top = ball - [0.0, 0.0, number(held.rod_end_diameter) / 2 + 0.6]
    depth = min(8.0, float(top[2] - middle[2]) - bearing.outside_mm / 2 - 1.2)
    if depth < LEAST_THREAD_MM:
        raise CannotBe(
            f"between the camber link's ball and the bearings {depth:.1f} mm are left for the stud's thread, of "
            f"{LEAST_THREAD_MM:.0f}; a smaller bearing, or the ball higher"
        )
    shrink = number(tables.making.hole_shrinks)
    drawn = bearing.outside_mm + shrink - (REAM_MM if tables.making.seats == "reamed" else 0.0)
    mirror = np.diag([1.0, 1.0 if hand == "left" else -1.0, 1.0])
    numbers = round_all([mirror @ v for v in (outer, outboard, along / span, top)])
    return CarrierSpec(
        name=f"rear-carrier-{hand}", hand=hand, outer_mm=_v(numbers[0]), outboard=_v(numbers[1]), across_mm=across,
        ring_mm=bearing.outside_mm, ring_width_mm=bearing.width_mm, seat_drawn_mm=round(drawn, 4),
        shoulder_mm=round((bearing.bore_mm + bearing.outside_mm) / 2, 4), wall_mm=wall, pin_axis=_v(numbers[2]),
        pin_gap_mm=round(span, 4), pin_mm=number(arms.pin), barrel_mm=round(barrel, 4), lug_mm=number(own.lug),
        link_mm=_v(numbers[3]), link_pilot_mm=screw.pilot_mm, link_depth_mm=round(depth, 4), link_screw=screw.name,
        chassis_from_part=_pose(tables, held, mirror @ origin, mirror),
    )  # fmt: skip


def _bearing(name: str) -> BallBearing:
    plain = name.replace(" ", "").lower()
    if not plain:
        raise CannotBe('parts.rear-carriers.bearing is not said; give its size: "5x10x4"')
    if plain not in BALL_BEARINGS:
        raise CannotBe(
            f'parts.rear-carriers.bearing = "{name}": there is no such size here; there are {", ".join(BALL_BEARINGS)}'
        )
    return BALL_BEARINGS[plain]


def _outboard(held: End) -> Numbers:
    """Along the left axle: straight out, turned by the donor's toe and camber (ISO 8855 signs)."""
    require(held.toe, held.camber)
    toe, camber = float(held.toe.rad[0]), float(held.camber.rad[0])
    return np.array([np.sin(toe) * np.cos(camber), np.cos(toe) * np.cos(camber), -np.sin(camber)])


def _pose(tables: PartTables, held: End, origin: Numbers, mirror: Numbers) -> tuple[tuple[float, ...], ...]:
    """Moved out with the changed arm's outer pin; that the changed link tilts it is left out."""
    require(held.arm_pin_front, held.arm_pin_rear)
    change = tables.changes.rear
    longer = number(change.arm_longer) if change.arm_longer.given else 0.0
    inner = np.array([held.arm_pin_front.mm[0], held.arm_pin_rear.mm[0]])
    out = mirror @ origin - inner.mean(axis=0)
    way = (inner[0] - inner[1]) / np.linalg.norm(inner[0] - inner[1])
    out = out - way * (out @ way)
    pose = np.eye(4)
    pose[:3, 3] = origin + mirror @ (longer * out / np.linalg.norm(out)) + [rear_axle_x(tables), 0.0, 0.0]
    return tuple(tuple(round(v, 9) for v in row) for row in pose.tolist())


def _v(values: tuple[float, ...]) -> Vector:
    x, y, z = values
    return x, y, z
