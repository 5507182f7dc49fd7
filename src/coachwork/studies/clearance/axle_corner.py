"""A wheel on a live axle: its bodies in any pose of both wheels and the steering.

Everything is drawn on the left, here too: the right wheel's bodies move as the real ones do, seen in the mirror.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.changes import ChangedEnd
from coachwork.build.sections.corner import End, EndName, Hardpoints
from coachwork.geometry.rigid import Motion
from coachwork.geometry.solids import MIRROR
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.corners import LOCK, OTHER, TRAVEL, Pose, flat, steering_motions
from coachwork.studies.clearance.kept_poses import KeptPoses
from coachwork.studies.clearance.shapes import Bodies
from coachwork.studies.linkage.axle import DrawnAxle, drawn_steering
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.linkage.sweep import inner_ball, lock_input

TRAVELS, LOCKS = np.linspace(-1, 1, 9), np.linspace(-1, 1, 9)
FLIP = np.diag(MIRROR)


@dataclass(frozen=True, eq=False, kw_only=True)
class AxleCorner:
    """One wheel of a live axle."""

    end: EndName
    side: Side
    drawn: DrawnAxle
    entries: End
    change: ChangedEnd
    steered: bool
    shift: Array  # (samples, 3), chassis frame from end frame
    _kept: KeptPoses = field(default_factory=KeptPoses, compare=False)

    @property
    def name(self) -> str:
        """The wheel's."""
        return f"{self.end} {self.side}"

    @property
    def points(self) -> Hardpoints:
        """The hardpoints as changed, left side."""
        return self.drawn.points

    @property
    def hub(self) -> tuple[Numbers, Numbers]:
        """Centre of the hub's face and direction outboard, drawn, (samples, 3); the axle has no camber of its own."""
        return self.points.hub_face.mm, np.array([[0.0, 1.0, 0.0]])

    def redrawn(self, body: str, points: Array) -> Array:
        """Where points measured on a body are drawn: as they are."""
        return points

    @cached_property
    def grid(self) -> Array:
        """9 of this wheel's travel, 9 of the other's, 9 of lock; the far ones first."""
        axes = np.meshgrid(TRAVELS, LOCKS if self.steered else np.zeros(1), TRAVELS, indexing="ij")
        shares = np.stack([axis.ravel() for axis in axes], axis=-1)
        shares = shares[np.argsort(-np.abs(shares).sum(axis=-1), kind="stable")]
        there = np.isfinite(self.bodies(shares).motions["knuckle"].shift).all(axis=-1)
        return shares[there] if self._samples == 1 else shares

    @property
    def _samples(self) -> int:
        drawn = self.drawn
        return max(len(array) for array in (drawn.lift_mm, drawn.half_track_mm, drawn.bump_mm, drawn.droop_mm))

    def bodies(self, shares: Array) -> Bodies:
        """Poses solved at these shares; kept, for many things ask for the same ones."""
        return self._kept.at(shares, self._at, samples=self._samples)

    def _travel(self, share: Array) -> Array:
        """(samples, poses, 1) mm from ride height."""
        share = share[None, :, None]
        return np.where(share < 0, share * self.drawn.droop_mm, share * self.drawn.bump_mm)

    def _at(self, shares: Array) -> Bodies:
        # Many poses differ in lock alone: the axle is solved for once for each pair of heights.
        pairs, back = np.unique(shares[:, [TRAVEL, OTHER]], axis=0, return_inverse=True)
        own, other = self._travel(pairs[:, 0]), self._travel(pairs[:, 1])
        left, right = (own, other) if self.side == "left" else (other, own)
        solved = self.drawn.poses(left_mm=left, right_mm=right)
        size = (self._samples, len(pairs), 1)
        assembles = np.broadcast_to(solved.assembles, size)[..., None]
        rotation = np.where(assembles[..., None], np.broadcast_to(solved.axle.rotation, (*size, 3, 3)), np.nan)
        place = np.where(assembles, np.broadcast_to(solved.axle.shift, (*size, 3)), np.nan)
        axle = Motion(rotation[:, back.ravel()], place[:, back.ravel()])
        motions = {"axle": axle, "knuckle": axle}
        if self.steered:
            motions |= self._steered(axle, shares)
        if self.side == "right":
            seen = ("axle", "knuckle")
            motions |= {
                body: Motion(FLIP @ motions[body].rotation @ FLIP, motions[body].shift * MIRROR) for body in seen
            }
        laid = {body: flat(motion, (self._samples, len(shares))) for body, motion in motions.items()}
        still = Motion(np.eye(3)[None], np.zeros((1, 3)))
        count = max(self._samples, len(shares), np.shape(self.shift)[0])
        return Bodies(
            motions=laid | {"chassis": still, "shell": still}, count=count, right=self.side == "right", shift=self.shift
        )

    def _steered(self, axle: Motion, shares: Array) -> dict[str, Motion]:
        steering = drawn_steering(self.points, self.entries, self.change)
        steer = self._leftward * shares[None, :, None, LOCK] * lock_input(self.entries, self.end)
        ball = inner_ball(steering.drag_link_inner, self.entries, steer)
        moved = steering.knuckles(axle, drag_link_inner=ball, servo_on_axle=self.entries.servo_on_axle)
        fits = (np.fmin(moved.drag_link_room_mm, moved.track_rod_room_mm) >= 0)[..., None]
        knuckle = moved.left if self.side == "left" else moved.right
        knuckle = Motion(np.where(fits[..., None], knuckle.rotation, np.nan), np.where(fits, knuckle.shift, np.nan))
        motions = {"knuckle": knuckle}
        if not self.entries.servo_on_axle:
            motions |= steering_motions(self.entries, steer, with_servo=self.side == "left")
        return motions

    @cached_property
    def _leftward(self) -> float:
        """The sign of the steering's input that turns the wheels to the left, first sample."""
        steering = drawn_steering(self.points, self.entries, self.change)
        step = np.full((1, 1, 1), 1e-3)
        moved = steering.knuckles(
            Motion.identity(), drag_link_inner=inner_ball(steering.drag_link_inner, self.entries, step)
        )
        across = moved.left.turn(np.array([0.0, 1.0, 0.0]))
        return 1.0 if float(np.ravel(-across[..., 0])[0]) >= 0 else -1.0

    def pose(self, share: Array) -> Pose:
        """In words, first sample; the roll is the axle's own."""
        own, other = (float(self._travel(share[[axis]])[0, 0, 0]) for axis in (TRAVEL, OTHER))
        left, right = (own, other) if self.side == "left" else (other, own)
        half = float(self.drawn.half_track_mm.flat[0])
        roll = float(np.arcsin(np.clip((left - right) / (2 * half), -1, 1)))
        motion = self.bodies(share[None]).motions["knuckle"].rotation[0]
        across = motion @ np.array([0.0, 1.0, 0.0])
        steer = float(np.arctan2(-across[0], across[1])) * (-1 if self.side == "right" else 1)
        return Pose(
            wheel=self.name, travel_mm=own, travel_share=float(share[TRAVEL]),
            lock_share=float(share[LOCK]) if self.steered else 0.0, steer_rad=steer, roll_rad=(roll, roll),
            steered=self.steered,
        )  # fmt: skip
