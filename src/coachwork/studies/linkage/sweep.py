"""One corner over wheel travel and lock: every pose, and the angles of its wheel in each.

Travel is laid out in shares of the way from ride height to the stops (-1 full droop, +1 full bump), lock in shares of
the way to the steering's stop (-1 right, +1 left), so that all samples share one grid although their numbers differ.
The stops stop the arm: a changed end keeps the arm angles that the bought one had at its stops.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from coachwork.build import NotMeasured
from coachwork.build.sections.corner import End
from coachwork.geometry.circle_sphere import Pin
from coachwork.geometry.vectors import Array
from coachwork.studies.linkage.hardpoints import DrawnEnd, over_poses
from coachwork.studies.linkage.poses import CornerPoses, Wheel
from coachwork.studies.linkage.steering import crank_ball, knuckle_rate, slide_ball
from coachwork.studies.linkage.travel import ArmAngles, arm_angle_at_height
from coachwork.studies.linkage.wheel_angles import camber_rad, steer_rad
from coachwork.studies.memory import Memory
from coachwork.studies.parts import CannotBe
from coachwork.studies.result import Result

AXES = {"x": np.array([1.0, 0.0, 0.0]), "y": np.array([0.0, 1.0, 0.0]), "z": np.array([0.0, 0.0, 1.0])}

# Shares of travel and lock. 17 x 25 poses draw smooth curves; carrying spreads through needs only slopes, for which
# the stops, ride height and halfway do, at a twelfth of the work.
REACHED_MM = 0.01  # nearer to a wanted ride height than this is there
FINE = (np.linspace(-1, 1, 17), np.linspace(-1, 1, 25))
COARSE = (np.linspace(-1, 1, 5), np.linspace(-1, 1, 7))


@dataclass(frozen=True, eq=False, kw_only=True)
class Stops(Result):
    """Arm angles at droop stop, ride height and bump stop: (samples, 1, 1)."""

    droop_rad: Array
    ride_rad: Array
    bump_rad: Array
    ride_short_mm: Array  # wanted less reached height of the hub where no arm angle gets to ride height, else 0


@dataclass(frozen=True, eq=False, kw_only=True)
class CornerSweep(Result):
    """One side of an end; arrays (samples, travel, steer) unless noted. NaN where the pose does not assemble."""

    travel_mm: Array  # (samples, travel), of the hub face's centre from ride height
    steer_input: Array  # (samples, steer), crank angle in rad or slide travel in mm, to the left positive
    assembles: NDArray[np.bool_]
    room_mm: Array  # what the tighter of the two links could still be longer or shorter; negative: open by so much
    tie_rod_is_tighter: NDArray[np.bool_]  # than the upper link or arm
    camber_rad: Array
    steer_rad: Array  # left wheel's steer angle, to the left positive; its opposite is toe-in
    poses: CornerPoses = field(metadata={"json": False})
    drawn: DrawnEnd = field(metadata={"json": False})
    tie_rod_inner: Array | None = field(metadata={"json": False})  # (samples, 1, steer, 3)
    input_direction: Array = field(metadata={"json": False})  # (samples, 1, 1), sign of the input that steers left
    stops: Stops = field(metadata={"json": False})
    input_is_angle: bool  # a bell-crank's; a slide's is a length

    @property
    def ride(self) -> int:
        """Index of ride height on the travel axis."""
        return int(self.assembles.shape[1]) // 2

    @property
    def straight(self) -> int:
        """Index of straight ahead on the steer axis."""
        return int(self.assembles.shape[2]) // 2

    @property
    def toe_in_rad(self) -> Array:
        """Positive: the front edge points inward."""
        return -self.steer_rad

    def wheel(self, centre: Array, tyre_radius_mm: Array) -> Wheel:
        """A wheel drawn on this corner's knuckle."""
        return Wheel(centre=centre, spin_axis=self.drawn.spin_axis, tyre_radius_mm=tyre_radius_mm)


def inner_ball(tie_rod_inner: Array, end: End, steer_input: Array) -> Array:
    """The tie-rod's inner ball, (samples, travel, steer, 3), for crank angles or slide travels. Raises NotMeasured."""
    if end.steering.kind == "slide":
        return slide_ball(tie_rod_inner, travel_mm=steer_input)
    return crank_ball(tie_rod_inner, pivot=crank_pin(end), angle_rad=steer_input)


def crank_pin(end: End) -> Pin:
    """The bell-crank's pivot."""
    return Pin(over_poses(end.steering.pivot.mm), AXES[end.steering.axis])


def lock_input(end: End, name: str) -> Array:
    """The steering's input at its stop, (samples, 1, 1): rad of crank or mm of slide. Raises NotMeasured."""
    if end.steering.kind is None:
        raise NotMeasured([f"running-gear.{name}.steering.kind"])
    return over_poses(end.steering.slide_lock.mm if end.steering.kind == "slide" else end.steering.lock.rad)


def stops_as_bought(drawn: DrawnEnd, end: End, memory: Memory, name: str) -> Stops:
    """The bought end's arm angles at its stops; its ride height is where it was drawn.

    A stop further than the arm itself can go is no stop: the arm's own end takes its place.
    """
    height = drawn.hub_face[..., 2]
    droop, bump = over_poses(end.droop_travel.mm), over_poses(end.bump_travel.mm)
    return Stops(
        droop_rad=_angle_at(drawn, height - droop, memory, f"{name} at droop").angle_rad,
        ride_rad=np.zeros_like(height),
        bump_rad=_angle_at(drawn, height + bump, memory, f"{name} at bump").angle_rad,
        ride_short_mm=np.zeros_like(height),
    )


def stops_as_changed(drawn: DrawnEnd, bought: Stops, memory: Memory, name: str, *, hub_height_mm: Array) -> Stops:
    """The same stops for the arm, ride height at a new height of the hub over the datum plane."""
    ride = _angle_at(drawn, hub_height_mm, memory, f"{name} at ride height")
    return Stops(
        droop_rad=bought.droop_rad, ride_rad=ride.angle_rad, bump_rad=bought.bump_rad, ride_short_mm=ride.short_mm
    )


def _angle_at(drawn: DrawnEnd, height_mm: Array, memory: Memory, name: str) -> ArmAngles:
    """Arm angle for a height of the hub face."""
    corner, hub = drawn.corner, drawn.hub_face
    return memory.once(
        name, (corner, hub, height_mm), lambda: arm_angle_at_height(corner, wheel_centre=hub, height_mm=height_mm)
    )


def sweep(drawn: DrawnEnd, end: End, stops: Stops, memory: Memory, name: str, *, lock: Array | None) -> CornerSweep:
    """All poses of one side. `lock` (samples, 1, 1) is the input at the stop, None at an unsteered end.

    Raises CannotBe where not even ride height, straight ahead, assembles.
    """
    samples = max(np.shape(value)[0] for value in (drawn.hub_face, stops.bump_rad, stops.ride_rad))
    travel_shares, lock_shares = FINE if samples == 1 else COARSE
    share = travel_shares[None, :, None]
    arm = stops.ride_rad + np.where(
        share < 0, -share * (stops.droop_rad - stops.ride_rad), share * (stops.bump_rad - stops.ride_rad)
    )
    direction, inner = np.ones((1, 1, 1)), None
    steer_input = np.zeros((samples, 1, 1))
    if lock is not None:
        direction = _leftward(drawn, end, stops, memory, f"{name} leftward")
        steer_input = np.broadcast_to(lock_shares[None, None, :] * lock, (samples, 1, lock_shares.size))
        assert drawn.corner.tie_rod_inner is not None
        inner = inner_ball(drawn.corner.tie_rod_inner, end, direction * steer_input)
    corner = drawn.corner
    poses = memory.once(
        f"{name} poses", (corner, arm, inner), lambda: corner.poses(arm_angle_rad=arm, tie_rod_inner=inner)
    )
    room = np.fmin(poses.upper_room_mm, poses.tie_rod_room_mm)
    room = np.fmin(room, np.where(drawn.short_mm > 0, -drawn.short_mm, np.inf))
    shape = np.broadcast_shapes(room.shape, arm.shape, steer_input.shape)
    room = np.broadcast_to(room, shape)
    tie_rod_is_tighter = np.nan_to_num(poses.tie_rod_room_mm, nan=np.inf) < poses.upper_room_mm
    tie_rod_is_tighter = np.broadcast_to(tie_rod_is_tighter, shape)
    height = np.broadcast_to(poses.knuckle.at(drawn.hub_face)[..., 2], shape)[:, :, shape[2] // 2]
    travel = height - height[:, shape[1] // 2, None]
    if samples == 1:
        _check_ride(drawn, stops)
    if samples == 1 and not np.isfinite(travel[0, shape[1] // 2]):
        at_ride = (0, shape[1] // 2, shape[2] // 2)
        raise _not_at_ride(
            -float(room[at_ride]), "tie-rod" if tie_rod_is_tighter[at_ride] else "camber link or upper arm"
        )
    wheel = Wheel(centre=drawn.hub_face, spin_axis=drawn.spin_axis, tyre_radius_mm=np.ones(1))
    return CornerSweep(
        travel_mm=travel,
        steer_input=steer_input[:, 0, :],
        assembles=room >= 0,
        room_mm=room,
        tie_rod_is_tighter=tie_rod_is_tighter,
        camber_rad=np.broadcast_to(camber_rad(poses.knuckle, wheel), shape),
        steer_rad=np.broadcast_to(steer_rad(poses.knuckle, wheel), shape),
        poses=poses,
        drawn=drawn,
        tie_rod_inner=inner,
        input_direction=direction,
        stops=stops,
        input_is_angle=end.steering.kind != "slide",
    )


def _leftward(drawn: DrawnEnd, end: End, stops: Stops, memory: Memory, name: str) -> Array:
    """The sign of the steering's input that turns the wheel to the left, (samples, 1, 1)."""
    corner = drawn.corner
    assert corner.tie_rod_inner is not None
    assert corner.tie_rod_outer is not None
    assert corner.kingpin_lower is not None
    assert corner.kingpin_upper is not None
    step = 1e-4  # only its sign is used
    velocity = inner_ball(corner.tie_rod_inner, end, np.full((1, 1, 1), step)) - corner.tie_rod_inner
    ride = stops.ride_rad
    poses = memory.once(name, (corner, ride), lambda: corner.poses(arm_angle_rad=ride))
    rate = knuckle_rate(
        poses.knuckle,
        kingpin_lower=corner.kingpin_lower,
        kingpin_upper=corner.kingpin_upper,
        tie_rod_outer=corner.tie_rod_outer,
        tie_rod_inner=corner.tie_rod_inner,
        inner_velocity=velocity,
    )
    return np.where(rate < 0, -1.0, 1.0)


def _check_ride(drawn: DrawnEnd, stops: Stops) -> None:
    """Raise CannotBe where ride height is out of the arm's reach, or the hub cannot be put on its arms at all."""
    if (short := float(drawn.short_mm.flat[0])) > 0:
        raise _not_at_ride(short, "upper arm")
    beyond = float(stops.ride_short_mm.flat[0])
    if abs(beyond) > REACHED_MM:
        way = "high" if beyond > 0 else "low"
        why = f"the arms do not let the hub that {way}: ride height lies {abs(beyond):.1f} mm out of reach"
        raise CannotBe(why, short=abs(beyond))


def _not_at_ride(misses_mm: float, link: str) -> CannotBe:
    return CannotBe(f"it cannot be assembled at ride height: the {link} misses by {misses_mm:.1f} mm", short=misses_mm)
