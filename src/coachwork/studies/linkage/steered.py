"""Both wheels of a steered end together, at ride height: Ackermann, turning circle, lock, servo."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Length, require
from coachwork.build.sections.corner import End
from coachwork.build.sections.loads import Loads
from coachwork.geometry.circle_sphere import Pin
from coachwork.geometry.vectors import Array, dot, length, unit
from coachwork.studies.linkage.ground import Ground
from coachwork.studies.linkage.hardpoints import over_poses
from coachwork.studies.linkage.steering import ServoDrive, knuckle_rate, tie_rod_lever_mm
from coachwork.studies.linkage.sweep import AXES, CornerSweep, crank_pin, lock_input
from coachwork.studies.linkage.turning import (
    Ackermann,
    ideal_outer_rad,
    servo_torque_nmm,
    standstill_torque_nmm,
    turning_circle_mm,
)
from coachwork.studies.parts import CannotBe
from coachwork.studies.result import Result

GRAVITY = 9.80665  # m/s2, standard gravity (3rd CGPM, 1901)


@dataclass(frozen=True, eq=False, kw_only=True)
class Lock(Result):
    """The wheels over the steering's range at ride height; arrays (samples, steer), angles to the left positive."""

    left_rad: Array
    right_rad: Array
    degrees_per_mm: Array  # of the left wheel's steer angle for each mm the tie-rod is longer

    rear: bool  # wheels steered to the left at the rear turn the vehicle to the right

    @property
    def inner_and_outer_rad(self) -> tuple[Array, Array]:
        """The wheels on the inside and the outside of the turn, both (samples, steer), for inputs to the left."""
        return (self.right_rad, self.left_rad) if self.rear else (self.left_rad, self.right_rad)

    @property
    def inner_rad(self) -> Array:
        """The inner wheel at full left lock, (samples)."""
        return self.inner_and_outer_rad[0][:, -1]

    @property
    def outer_rad(self) -> Array:
        """The outer wheel at full left lock, (samples)."""
        return self.inner_and_outer_rad[1][:, -1]


@dataclass(frozen=True, eq=False, kw_only=True)
class Turn(Result):
    """How the vehicle turns; (samples) at full left lock, `ackermann` (samples, steer)."""

    ackermann: Ackermann
    ideal_outer_rad: Array
    kerb_to_kerb_mm: Array
    wheelbase_mm: Array
    kingpin_track_mm: Array


@dataclass(frozen=True, eq=False, kw_only=True)
class Servo(Result):
    """What the servo has to do; (samples) unless noted."""

    torque_nmm: Array  # (samples, steer), turning both tyres on the spot, linkage without friction
    travel_rad: Array  # the larger of its angles at the two locks
    rated_nmm: Array
    available_rad: Array


def lock(left: CornerSweep, right: CornerSweep, *, rear: bool) -> Lock:
    """Steer angles of both wheels; the right one is computed as a left one, mirrored. Raises CannotBe."""
    if left.tie_rod_inner is None:
        raise CannotBe("this end is not steered")
    angles = [side.steer_rad[:, side.ride] for side in (left, right)]
    per_mm = [_degrees_per_mm(side) for side in (left, right)]
    if angles[0].shape[0] == 1 and np.isnan(angles).any():
        there = np.isfinite(angles[0]) & np.isfinite(angles[1])
        reached = np.abs(left.steer_input[there]).max(initial=0) / np.abs(left.steer_input).max()
        raise CannotBe(f"the steering runs out at {reached:.0%} of the way to its stop; see whether it assembles")
    return Lock(
        left_rad=angles[0],
        right_rad=-angles[1][:, ::-1],
        degrees_per_mm=np.maximum(per_mm[0], per_mm[1][:, ::-1]),
        rear=rear,
    )


def _degrees_per_mm(side: CornerSweep) -> Array:
    """How far the wheel turns for each mm the tie-rod is longer, at ride height, (samples, steer)."""
    corner = side.drawn.corner
    assert corner.kingpin_lower is not None
    assert corner.kingpin_upper is not None
    assert corner.tie_rod_outer is not None
    assert side.tie_rod_inner is not None
    lever = tie_rod_lever_mm(
        side.poses.knuckle,
        kingpin_lower=corner.kingpin_lower,
        kingpin_upper=corner.kingpin_upper,
        tie_rod_outer=corner.tie_rod_outer,
        tie_rod_inner=side.tie_rod_inner,
    )
    with np.errstate(divide="ignore"):
        return np.abs(np.degrees(1 / np.broadcast_to(lever, side.assembles.shape)[:, side.ride]))


def turn(locked: Lock, left: CornerSweep, on_ground: Ground, *, wheelbase: Length, stretch: Length) -> Turn:
    """Ackermann and turning circle with the wheelbase as changed. Raises NotMeasured, CannotBe."""
    if on_ground.kingpin is None:
        raise CannotBe("this end is not steered")
    require(wheelbase, on_ground.tyre_width)
    wheelbase_mm = wheelbase.mm + (stretch.mm if stretch.given else 0.0)
    contact = on_ground.contact_mm[:, left.ride, left.straight]
    scrub = np.broadcast_to(on_ground.kingpin.scrub_radius_mm, left.assembles.shape)[:, left.ride, left.straight]
    kingpin_track = 2 * (contact[:, 1] - scrub)
    kerb_to_kerb_mm = turning_circle_mm(
        locked.inner_rad,
        locked.outer_rad,
        kingpin_track_mm=kingpin_track,
        wheelbase_mm=wheelbase_mm,
        contact_half_track_mm=contact[:, 1],
        tyre_width_mm=on_ground.tyre_width.mm,
    )
    return Turn(
        # Seen backwards, a rear end is a front one: left and right change places.
        ackermann=Ackermann.of(
            *locked.inner_and_outer_rad, kingpin_track_mm=kingpin_track[:, None], wheelbase_mm=wheelbase_mm[:, None]
        ),
        ideal_outer_rad=ideal_outer_rad(locked.inner_rad, kingpin_track_mm=kingpin_track, wheelbase_mm=wheelbase_mm),
        kerb_to_kerb_mm=kerb_to_kerb_mm,
        wheelbase_mm=wheelbase_mm,
        kingpin_track_mm=kingpin_track,
    )


def servo(left: CornerSweep, right: CornerSweep, on_ground: Ground, end: End, loads: Loads, name: str) -> Servo:
    """Torque and travel at the servo, over the steering's range at ride height. Raises NotMeasured, CannotBe."""
    steering = end.steering
    if on_ground.kingpin is None:
        raise CannotBe("this end is not steered")
    require(steering.servo_torque, steering.servo_travel, steering.servo_axis, steering.servo_ball)
    require(loads.mass, loads.grip, loads.front_share, on_ground.tyre_width)
    share = loads.front_share.ratio if name == "front" else 1 - loads.front_share.ratio
    per_wheel_n = loads.mass.g / 1000 * GRAVITY * share / 2
    scrub = np.broadcast_to(on_ground.kingpin.scrub_radius_mm, left.assembles.shape)[:, left.ride]
    kingpin_torque = standstill_torque_nmm(
        load_n=per_wheel_n[:, None],
        friction=loads.grip.ratio[:, None],
        patch_width_mm=on_ground.tyre_width.mm[:, None],
        offset_mm=scrub,
    )
    servo_rad, input_per_servo_rad = _servo_side(left, end, name)
    rates = [_knuckle_per_input(side, end) * input_per_servo_rad for side in (left, right)]
    return Servo(
        torque_nmm=servo_torque_nmm((kingpin_torque, rates[0]), (kingpin_torque[:, ::-1], rates[1][:, ::-1])),
        travel_rad=np.abs(servo_rad[:, [0, -1]]).max(axis=1),
        rated_nmm=steering.servo_torque.n_mm,
        available_rad=steering.servo_travel.rad,
    )


def _servo_side(left: CornerSweep, end: End, name: str) -> tuple[Array, Array]:
    """Servo angle for each steering input, and input per radian of servo there: (samples, steer)."""
    steering = end.steering
    steer_input = left.input_direction[:, 0] * left.steer_input
    axis, ball = over_poses(steering.servo_axis.mm), over_poses(steering.servo_ball.mm)
    pin = Pin(axis, AXES[steering.servo_turns_about])
    if steering.kind == "slide":
        horn = ball - axis
        reach = length(horn - dot(horn, pin.direction)[..., None] * pin.direction)[:, 0]
        angle = np.arcsin(np.clip(steer_input / reach, -1, 1))
        return angle, reach * np.cos(angle)
    require(steering.crank_ball)
    drive = ServoDrive(servo=pin, horn_ball=ball, crank=crank_pin(end), crank_ball=over_poses(steering.crank_ball.mm))
    crank_rad = steer_input[:, None, :]
    swung = drive.servo_swing(crank_rad)
    if crank_rad.shape[0] == 1 and bool((swung.room < 0).any()):
        stop = np.degrees(float(lock_input(end, name)[0, 0, 0]))
        raise CannotBe(
            f"the servo's drag link misses by {-float(swung.room.min()):.1f} mm at the crank's stop, {stop:.0f} deg"
        )
    return swung.angle[:, 0], np.abs(drive.crank_rate(servo_angle_rad=swung.angle, crank_angle_rad=crank_rad))[:, 0]


def _knuckle_per_input(side: CornerSweep, end: End) -> Array:
    """Radians about the kingpin per rad of crank or mm of slide at ride height: (samples, steer)."""
    corner = side.drawn.corner
    assert corner.tie_rod_outer is not None
    assert corner.kingpin_lower is not None
    assert corner.kingpin_upper is not None
    assert side.tie_rod_inner is not None
    if end.steering.kind == "slide":
        velocity = np.broadcast_to(AXES["y"], side.tie_rod_inner.shape)
    else:
        pin = crank_pin(end)
        velocity = np.cross(
            np.broadcast_to(unit(pin.direction), side.tie_rod_inner.shape), side.tie_rod_inner - pin.point
        )
    rate = knuckle_rate(
        side.poses.knuckle,
        kingpin_lower=corner.kingpin_lower,
        kingpin_upper=corner.kingpin_upper,
        tie_rod_outer=corner.tie_rod_outer,
        tie_rod_inner=side.tie_rod_inner,
        inner_velocity=velocity,
    )
    return np.broadcast_to(rate, side.assembles.shape)[:, side.ride]
