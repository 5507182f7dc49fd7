"""A corner with one link taken off, and the pose in which its wheel then stands as wanted.

With the camber link off, carrier and wheel swing freely about the hub pin; with the tie-rod off, knuckle and wheel
about the kingpin. The arm and that joint together put the wheel at a height and an angle, and the link has to be as
long as its balls are apart there: two unknowns, and no search over lengths.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import Array, cross, dot
from coachwork.studies.linkage.poses import Wheel

NEAR = 1e-13  # of both errors: some tens of roundings
ARM_MM = 40.0  # makes an angle of a height, so that one can tell which error is the larger; any arm's length does
LARGEST_STEP_RAD = 0.3  # as where only the arm is sought: keeps Newton on its side of top dead centre
MOST_IDLE = 6  # steps that do not halve what is missing; near the stand each squares it


@dataclass(frozen=True, eq=False, kw_only=True)
class Loosened:
    """Poses of a corner with one link off: (...)."""

    knuckle: Motion
    by_arm: Twist  # of the knuckle per radian of the arm, the joint held
    by_joint: Twist  # of the knuckle per radian of the joint, the arm held
    link_mm: Array  # from the one ball of the link to the other


@dataclass(frozen=True, eq=False, kw_only=True)
class Stand:
    """How a wheel is to stand: (...)."""

    wheel: Wheel
    height_mm: Array  # of its centre
    direction: Array  # (..., 3), of length one
    share: Array  # that its spin axis, of length one, has in that direction

    @classmethod
    def at_camber(cls, wheel: Wheel, camber_rad: Array, *, height_mm: Array) -> Stand:
        """Leaning out by an angle."""
        down = np.array([0.0, 0.0, -1.0])
        return cls(wheel=wheel, height_mm=height_mm, direction=down, share=np.sin(camber_rad))

    @classmethod
    def at_toe_in(cls, wheel: Wheel, toe_in_rad: Array, *, height_mm: Array) -> Stand:
        """With its front pointing in by an angle: the axis is square to where the wheel then heads."""
        toe = np.asarray(toe_in_rad, dtype=float)
        heading = np.stack([np.cos(toe), -np.sin(toe), np.zeros(toe.shape)], axis=-1)
        return cls(wheel=wheel, height_mm=height_mm, direction=heading, share=np.zeros(()))

    @property
    def shape(self) -> tuple[int, ...]:
        """Of as many as there are."""
        return np.broadcast_shapes(np.shape(self.height_mm), np.shape(self.share), self.direction.shape[:-1])

    def lacks(self, knuckle: Motion) -> Array:
        """In height, over `ARM_MM`, and in the share: (2, ...)."""
        height, axis = knuckle.at(self.wheel.centre)[..., 2], knuckle.turn(self.wheel.spin_axis)
        missing = (self.height_mm - height) / ARM_MM, self.share - dot(axis, self.direction)
        return np.stack(np.broadcast_arrays(*missing))

    def gains(self, knuckle: Motion, twist: Twist) -> Array:
        """How fast a velocity of the knuckle makes up for it: (2, ...)."""
        rise, axis = twist.at(knuckle.at(self.wheel.centre))[..., 2], knuckle.turn(self.wheel.spin_axis)
        return np.stack(np.broadcast_arrays(rise / ARM_MM, dot(cross(twist.angular, axis), self.direction)))


def standing(
    loosened: Callable[[Array, Array], Loosened], stand: Stand, *, arm_rad: Array, joint_rad: Array
) -> tuple[Array, Loosened]:
    """The arm's angle with the wheel at its stand, and the poses there; or wherever the search ended: (...).

    loosened : poses for angles of arm and joint          arm_rad, joint_rad : (...), where to begin
    Newton's method on both at once, with exact velocities; a step into poses that do not assemble is halved.
    """
    shape = np.broadcast_shapes(stand.shape, np.shape(arm_rad), np.shape(joint_rad))
    angles = np.stack([np.broadcast_to(angle, shape) for angle in (arm_rad, joint_rad)])
    poses = loosened(*angles)
    missing = stand.lacks(poses.knuckle)
    size = least = np.abs(missing).max(axis=0)
    idle = 0
    with np.errstate(divide="ignore", invalid="ignore"):
        while (wanted := size > NEAR).any() and idle < MOST_IDLE:
            arm, joint = (stand.gains(poses.knuckle, twist) for twist in (poses.by_arm, poses.by_joint))
            step = np.stack([missing[0] * joint[1] - missing[1] * joint[0], missing[1] * arm[0] - missing[0] * arm[1]])
            step = step / (arm[0] * joint[1] - arm[1] * joint[0])  # Cramer's rule
            step = step * np.fmin(1.0, LARGEST_STEP_RAD / np.abs(step).max(axis=0))
            step = np.where(wanted & np.isfinite(step).all(axis=0), step, 0.0)
            for _ in range(10):
                poses = loosened(*(angles + step))
                missing = stand.lacks(poses.knuckle)
                size = np.abs(missing).max(axis=0)
                if not (lost := wanted & np.isnan(size)).any():
                    break
                step = np.where(lost, 0.5 * step, step)
            angles = angles + step
            idle = 0 if (wanted & (size < 0.5 * least)).any() else idle + 1
            least = np.fmin(least, size)
    return angles[0], poses
