"""Ball joints and dampers: what hangs between two points of the linkage."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import Array, dot, length, unit


def ball_joint_angle_rad(*, stud: Array, ball: Array, other_end: Array) -> Array:
    """Angle by which a link leaves the plane square to its ball's stud, signed, towards the stud's tip positive: (...).

    stud      : (..., 3), direction now, base to tip, of the pin that is screwed into the body carrying the ball
    ball      : (..., 3), where it is now          other_end : (..., 3), the link's other ball now
    A rod end turns freely about its stud; only this angle brings its rim against the stud's collar.
    """
    return np.asarray(np.arcsin(np.clip(dot(unit(stud), unit(other_end - ball)), -1.0, 1.0)))


@dataclass(frozen=True, eq=False, kw_only=True)
class DamperPoses:
    """One damper in many poses; every array (...)."""

    length_mm: Array  # between its eyes
    motion_ratio: Array  # mm of damper compression per mm of wheel rise


def damper_poses(
    carrying: Motion,
    *,
    upper_eye: Array,
    lower_eye: Array,
    carrying_twist: Twist,
    wheel_twist: Twist,
    wheel_centre: Array,
) -> DamperPoses:
    """Length and exact motion ratio. Drawn eyes (..., 3): the upper on the chassis, the lower on the body `carrying`.

    carrying_twist, wheel_twist : velocities of that body and of the knuckle, per unit of the same drive
    wheel_centre                : (..., 3), where it is now
    """
    eye = carrying.at(lower_eye)
    along = unit(upper_eye - eye)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = dot(along, carrying_twist.at(eye)) / wheel_twist.at(wheel_centre)[..., 2]
    return DamperPoses(length_mm=length(upper_eye - eye), motion_ratio=ratio)
