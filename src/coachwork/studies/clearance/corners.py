"""Where one wheel's bodies are in any pose of its corner, and that pose in words.

A pose is told by shares, as the linkage study lays them out: of the way to the travel's stops (-1 full droop, +1 full
bump) and of the way to the steering's stop (+1 left), the same for left and right wheels. An independently sprung wheel
knows nothing of the other one, so that the vehicle's roll is whatever the other wheel makes of it; on a live axle the
other wheel's travel is a third share.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.corner import End, EndName, Hardpoints
from coachwork.geometry.circle_sphere import Pin, swing
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, length
from coachwork.studies.clearance.kept_poses import KeptPoses
from coachwork.studies.clearance.shapes import Bodies
from coachwork.studies.linkage.hardpoints import Side, over_poses
from coachwork.studies.linkage.steering import ServoDrive
from coachwork.studies.linkage.sweep import AXES, CornerSweep, crank_pin, inner_ball

TRAVEL, LOCK, OTHER = 0, 1, 2  # the shares' places
TRAVELS, LOCKS = np.linspace(-1, 1, 17), np.linspace(-1, 1, 25)
FROM_TRAVEL = ("arm", "anti-roll-bar", "axle")  # bodies that know nothing of the steering
FROM_LOCK = ("bell-crank", "servo-arm")  # and of the travel


@dataclass(frozen=True, kw_only=True)
class Pose:
    """One pose of one wheel, in numbers; roll is what it can be while this wheel is here."""

    wheel: str  # "front left"
    travel_mm: float  # of the hub, from ride height
    travel_share: float  # 1: full bump, -1: full droop
    lock_share: float  # 1: steering at its stop to the left; 0 where nothing steers
    steer_rad: float  # of this wheel, to the left positive
    roll_rad: tuple[float, float]  # left wheel up over the chassis positive: least and greatest
    steered: bool  # whether lock matters to what is told of this pose
    travels: bool = True  # whether travel does

    def __str__(self) -> str:
        """As a builder says it: "front left wheel in full bump (7.9 mm), full lock to the left (30 deg)"."""
        if not self.travels:
            return f"{self.wheel} wheel at {self._lock()}" if self.steered else f"{self.wheel} wheel in every pose"
        words = [f"{self.wheel} wheel {self._travel()}"]
        if self.steered:
            words.append(self._lock())
        low, high = (float(np.degrees(angle)) for angle in self.roll_rad)
        if high - low > 0.05:
            words.append(f"at any roll from {low:z.1f} to {high:z.1f} deg")
        elif abs(high) > 0.05:
            words.append(f"rolled by {high:+z.1f} deg")
        return ", ".join(words)

    def _travel(self) -> str:
        if abs(self.travel_share) < 1e-9:
            return "at ride height"
        full = "full " if abs(self.travel_share) > 1 - 1e-9 else ""
        return f"in {full}{'bump' if self.travel_share > 0 else 'droop'} ({abs(self.travel_mm):.1f} mm)"

    def _lock(self) -> str:
        if abs(self.lock_share) < 1e-9:
            return "straight ahead"
        full = "full lock" if abs(self.lock_share) > 1 - 1e-9 else "part lock"
        return f"{full} to the {'left' if self.lock_share > 0 else 'right'} ({abs(np.degrees(self.steer_rad)):.0f} deg)"


class Corner(Protocol):
    """What the searches ask of a kind of suspension."""

    @property
    def name(self) -> str: ...
    @property
    def steered(self) -> bool: ...
    @property
    def points(self) -> Hardpoints:
        """As changed, of this side, mirrored to the left."""

    @property
    def hub(self) -> tuple[Numbers, Numbers]:
        """Centre of the hub's face and direction outboard, drawn: (samples, 3)."""

    def redrawn(self, body: str, points: Array) -> Array:
        """Where points (samples, 3) measured on a body are drawn: a changed hub has moved."""

    @property
    def grid(self) -> Array:
        """Shares (poses, 3) that are searched first; the stops lead."""

    def bodies(self, shares: Array) -> Bodies:
        """The bodies at shares (poses, 3): n is the poses, or the samples of one pose."""

    def pose(self, share: Array) -> Pose:
        """One pose (3,) in words, first sample."""


@dataclass(frozen=True, eq=False, kw_only=True)
class SprungCorner:
    """An independently sprung wheel."""

    end: EndName
    side: Side
    swept: CornerSweep
    entries: End
    shift: Array  # (samples, 3), chassis frame from end frame
    half_track_mm: float  # for the roll only
    _kept: KeptPoses = field(default_factory=KeptPoses, compare=False)

    @property
    def name(self) -> str:
        """The wheel's."""
        return f"{self.end} {self.side}"

    @property
    def steered(self) -> bool:
        """Whether the steering moves it."""
        return self.swept.tie_rod_inner is not None

    @property
    def points(self) -> Hardpoints:
        """As changed, of this side, mirrored to the left."""
        return self.swept.drawn.points

    @property
    def hub(self) -> tuple[Numbers, Numbers]:
        """Centre of the hub's face and direction outboard, drawn: (samples, 3)."""
        return self.swept.drawn.hub_face[:, 0, 0], self.swept.drawn.spin_axis[:, 0, 0]

    def redrawn(self, body: str, points: Array) -> Array:
        """Where points (samples, 3) measured on a body are drawn: a changed hub has moved."""
        moved = self.swept.drawn.moved
        return moved.at(points[:, None, None, :])[:, 0, 0] if body in ("carrier", "knuckle") else points

    @cached_property
    def grid(self) -> Array:
        """17 of travel, 25 of lock; the far ones first, which prune the rest."""
        travel, lock = np.meshgrid(TRAVELS, LOCKS if self.steered else np.zeros(1), indexing="ij")
        shares = np.stack([travel.ravel(), lock.ravel(), np.zeros(travel.size)], axis=-1)
        shares = shares[np.argsort(-np.abs(shares).sum(axis=-1), kind="stable")]
        there = np.isfinite(self.bodies(shares).motions["knuckle"].shift).all(axis=-1)
        return shares[there] if self._samples == 1 else shares

    @property
    def _samples(self) -> int:
        return int(self.swept.assembles.shape[0])

    def bodies(self, shares: Array) -> Bodies:
        """Poses evaluated at these shares; kept, for many things ask for the same ones."""
        return self._kept.at(shares, self._at, samples=self._samples)

    def _at(self, shares: Array) -> Bodies:
        swept, stops = self.swept, self.swept.stops
        share = shares[None, :, None, TRAVEL]
        arm = stops.ride_rad + np.where(
            share < 0, -share * (stops.droop_rad - stops.ride_rad), share * (stops.bump_rad - stops.ride_rad)
        )
        steer, inner = None, None
        if self.steered:
            assert swept.drawn.corner.tie_rod_inner is not None
            lock = shares[None, :, None, LOCK] * (-1.0 if self.side == "right" else 1.0)
            steer = swept.input_direction * lock * swept.steer_input[:, None, -1:]
            inner = inner_ball(swept.drawn.corner.tie_rod_inner, self.entries, steer)
        poses = swept.drawn.corner.poses(arm_angle_rad=arm, tie_rod_inner=inner)
        motions = {"arm": poses.arm, "carrier": poses.carrier, "knuckle": poses.knuckle}
        if steer is not None:
            motions |= steering_motions(self.entries, steer, with_servo=self.side == "left")
        if (bar := _anti_roll_bar(self.entries, poses.arm)) is not None:
            motions["anti-roll-bar"] = bar
        count = max(self._samples, len(shares), np.shape(self.shift)[0])
        laid = {body: flat(motion, (self._samples, len(shares))) for body, motion in motions.items()}
        still = Motion(np.eye(3)[None], np.zeros((1, 3)))
        return Bodies(
            motions=laid | {"chassis": still, "shell": still}, count=count, right=self.side == "right", shift=self.shift
        )

    def pose(self, share: Array) -> Pose:
        """In words, with the roll that the other wheel may add."""
        (bump, droop, ride), _ = self._heights(np.array([[1.0, 0, 0], [-1.0, 0, 0], [0.0, 0, 0]]))
        (here,), (angle,) = self._heights(share[None])
        across = 2 * self.half_track_mm
        least, most = (float(np.arctan2(here - other, across)) for other in (bump, droop))
        roll = (-most, -least) if self.side == "right" else (least, most)
        steer = -angle if self.side == "right" else angle
        return Pose(
            wheel=self.name, travel_mm=float(here - ride), travel_share=float(share[TRAVEL]),
            lock_share=float(share[LOCK]) if self.steered else 0.0, steer_rad=float(steer), roll_rad=roll,
            steered=self.steered,
        )  # fmt: skip

    def _heights(self, shares: Array) -> tuple[Array, Array]:
        """The hub's height and the wheel's steer angle, first sample."""
        motion = self.bodies(shares).motions["knuckle"]
        knuckle = Motion(motion.rotation[: len(shares)], motion.shift[: len(shares)])
        hub, spin = self.swept.drawn.hub_face[0, 0, 0], self.swept.drawn.spin_axis[0, 0, 0]
        across = knuckle.turn(spin)
        return knuckle.at(hub)[..., 2], np.arctan2(-across[..., 0], across[..., 1])  # as linkage's steer_rad


def flat(motion: Motion, shape: tuple[int, int]) -> Motion:
    """(samples, poses) in one axis."""
    return Motion(
        np.broadcast_to(motion.rotation, (*shape, 1, 3, 3)).reshape(-1, 3, 3),
        np.broadcast_to(motion.shift, (*shape, 1, 3)).reshape(-1, 3),
    )


def steering_motions(end: End, steer: Array, *, with_servo: bool) -> dict[str, Motion]:
    """Bell-crank (or slide) and, on the left, the servo's arm, for inputs (samples, poses, 1), where known."""
    steering = end.steering
    if steering.kind == "slide":
        moved = {"bell-crank": Motion.by(steer[..., None] * np.array([0.0, 1.0, 0.0]))}
    else:
        pin = crank_pin(end)
        moved = {"bell-crank": Motion.about(pin.point, pin.direction, steer)}
    known = steering.servo_axis.known and steering.servo_ball.known
    if not (with_servo and known and (steering.kind == "slide" or steering.crank_ball.known)):
        return moved
    servo = Pin(over_poses(steering.servo_axis.mm), AXES[steering.servo_turns_about])
    ball = over_poses(steering.servo_ball.mm)
    if steering.kind == "slide":
        reach = np.maximum(length(np.cross(ball - servo.point, servo.direction)), 1e-9)
        moved["servo-arm"] = Motion.about(servo.point, servo.direction, np.arcsin(np.clip(steer / reach, -1, 1)))
    else:
        drive = ServoDrive(
            servo=servo, horn_ball=ball, crank=crank_pin(end), crank_ball=over_poses(steering.crank_ball.mm)
        )
        moved["servo-arm"] = drive.servo_swing(steer).motion
    return moved


def _anti_roll_bar(end: End, arm: Motion) -> Motion | None:
    """The bar's lever, held by its link to the arm; it turns about y. None where there is no bar."""
    bar = end.anti_roll_bar
    if not (bar.bearing.known and bar.lever.known and bar.on_arm.known):
        return None
    lever, on_arm = over_poses(bar.lever.mm), over_poses(bar.on_arm.mm)
    pin = Pin(over_poses(bar.bearing.mm), AXES["y"])
    return swing(pin, lever, drawn_ball=on_arm, ball=arm.at(on_arm), distance=length(on_arm - lever)).motion
