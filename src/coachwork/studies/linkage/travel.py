"""Which arm angle puts the wheel centre at a wanted height, and which heights no angle reaches.

Wheel travel is the rise of the wheel centre over the chassis with the steering straight ahead (SAE J670's jounce and
rebound, from memory); the arm angle is only the unknown that gets there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array
from coachwork.studies.linkage.poses import Corner, CornerPoses

TOLERANCE_MM = 1e-12  # below a micrometre's millionth: a few roundings of the height itself
LARGEST_STEP_RAD = 0.3  # no arm of the trade swings that far in one go; keeps Newton on its side of top dead centre


@dataclass(frozen=True, eq=False, kw_only=True)
class ArmAngles:
    """Arm angles for wanted heights of the wheel centre: (...)."""

    angle_rad: Array  # the one that reaches the height, or the last one on the way to it that assembles
    short_mm: Array  # wanted minus reached height, 0 where reached
    knuckle: Motion  # at those angles

    @property
    def reached(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Where the wheel centre gets to the wanted height: (...)."""
        return np.asarray(self.short_mm == 0.0)


def arm_angle_at_height(
    corner: Corner, *, wheel_centre: Array, height_mm: Array, tie_rod_inner: Array | None = None,
    start_rad: Array | None = None, within_mm: float = TOLERANCE_MM,
) -> ArmAngles:  # fmt: skip
    """Newton's method on the height, with the exact velocity of the wheel centre as its derivative.

    wheel_centre  : (..., 3), drawn                     height_mm : (...), over the datum plane
    tie_rod_inner : (..., 3), straight ahead; as drawn if left out
    start_rad     : angles (...) that are near already; where one of them does not assemble, and where left out, the
                    search begins at the arm as drawn
    within_mm     : of the height, as reached
    A step into poses that do not assemble is halved until it does not; what is then not reached within 60 steps is
    beyond the end of the mechanism's range, at which the search has stopped.
    """
    height_mm = np.asarray(height_mm, dtype=float)

    def look(angle: Array) -> tuple[CornerPoses, Array]:
        poses = corner.poses(arm_angle_rad=angle, tie_rod_inner=tie_rod_inner)
        return poses, height_mm - poses.knuckle.at(wheel_centre)[..., 2]

    def slope_of(poses: CornerPoses) -> Array:
        return corner.bump_twist(poses, tie_rod_inner=tie_rod_inner).at(poses.knuckle.at(wheel_centre))[..., 2]

    poses, short = look(np.zeros(np.shape(height_mm)) if start_rad is None else start_rad)
    angle = np.zeros(short.shape)
    if start_rad is not None and np.isfinite(short).all():
        angle = np.broadcast_to(start_rad, short.shape)
    elif start_rad is not None:
        poses, short = look(angle)
    slope, better, there = np.zeros(short.shape), np.ones(short.shape, dtype=bool), True
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(60):
            wanted = np.abs(short) > within_mm
            if not wanted.any():
                break
            slope = np.where(better, slope_of(poses), slope)
            step = np.where(wanted, np.clip(short / slope, -LARGEST_STEP_RAD, LARGEST_STEP_RAD), 0.0)
            step = np.where(np.isfinite(step), step, 0.0)
            poses, ahead = look(angle + step)
            for _ in range(30):  # 2^-30 of the largest step is below the 1e-9 rad of the end
                # A height that gets worse was a leap over the top, NaN a leap out of the mechanism: both too far.
                worse = ~(np.abs(ahead) <= np.abs(short)) & wanted
                if not worse.any():
                    break
                step = np.where(worse, 0.5 * step, step)
                poses, ahead = look(angle + step)
            better = np.abs(ahead) < np.abs(short)
            there = bool((better | (step == 0.0)).all())
            # At the end of the range each step halves towards it: 1e-9 rad is some 4e-8 mm of wheel height.
            done = not np.any(better & (np.abs(step) > 1e-9))
            angle, short = np.where(better, angle + step, angle), np.where(better, ahead, short)
            if done:
                break
    return ArmAngles(
        angle_rad=angle,
        # Rounding of a height of 100 mm is 1e-14; poses near lock carry it a hundredfold.
        short_mm=np.where(np.abs(short) <= 100 * within_mm, 0.0, short),
        knuckle=(poses if there else look(angle)[0]).knuckle,
    )
