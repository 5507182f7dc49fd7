"""Kind (a) once more, compiled: the same closed form, one pose after the other, for millions of poses.

Needs numba, which is optional (`pip install coachwork[fast]`). The first call compiles and stores the result on disk,
some seconds; the plain numpy form starts at once and is enough for a check of a build. Equal to it within 1e-9 mm.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from math import prod
from typing import Any

import numpy as np

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.poses import CornerPoses


def compiled_poses(
    corner: CamberLinkCorner, *, arm_angle_rad: Array, tie_rod_inner: Array | None = None
) -> CornerPoses:
    """What `corner.poses` gives; only axes of the steering alone are 1 long in what does not know it.

    ImportError without numba; ValueError for an unsteered end, which has too little in it to be worth compiling.
    """
    inner = corner.tie_rod_inner if tie_rod_inner is None else tie_rod_inner
    lower, upper, outer = corner.kingpin_lower, corner.kingpin_upper, corner.tie_rod_outer
    if inner is None or corner.tie_rod_inner is None or lower is None or upper is None or outer is None:
        raise ValueError("only steered corners are compiled")
    points = np.stack(
        np.broadcast_arrays(
            corner.arm_pin_rear, corner.arm_pin_front, corner.hub_pin_rear, corner.hub_pin_front,
            corner.camber_link_inner, corner.camber_link_outer, lower, upper, corner.tie_rod_inner, outer,
        ), axis=-2,
    )  # fmt: skip
    camber_link, tie_rod = np.asarray(corner.camber_link_length_mm), np.asarray(corner.tie_rod_length_mm)
    arm_angle_rad = np.asarray(arm_angle_rad, dtype=float)
    design = np.broadcast_shapes(points.shape[:-2], camber_link.shape, tie_rod.shape)
    batch = np.broadcast_shapes(design, arm_angle_rad.shape, inner.shape[:-1])
    # Leading axes along which the hardpoints change, trailing ones along which they do not: what depends on the
    # hardpoints alone is then worked out once for all poses of a set.
    design = (1,) * (len(batch) - len(design)) + design
    split = max((axis + 1 for axis, size in enumerate(design) if size > 1), default=0)
    # A last axis that only the steering has is an inner loop: arm and carrier are then worked out once for all of it.
    arm_angle = arm_angle_rad.reshape((1,) * (len(batch) - arm_angle_rad.ndim) + arm_angle_rad.shape)
    steered = split < len(batch) and arm_angle.shape[-1] == 1
    sets, steers = batch[:split], batch[-1:] if steered else ()
    heights = batch[split : len(batch) - len(steers)]

    def spread(values: Array, axes: tuple[int, ...], tail: tuple[int, ...], shape: tuple[int, ...]) -> Array:
        """Values at every place of the axes, as one solid block of the given shape."""
        values = values.reshape((1,) * (len(batch) + len(tail) - values.ndim) + values.shape)
        values = values.reshape(values.shape[: len(axes)] + tail)
        return np.ascontiguousarray(np.broadcast_to(values, axes + tail)).reshape(shape)

    count = (prod(sets), prod(heights), prod(steers))
    rotations, shifts, knuckle_rotation, knuckle_shift, upper, steer = _kernel()(
        spread(points, sets, (10, 3), (count[0], 10, 3)),
        spread(camber_link, sets, (), count[:1]),
        spread(tie_rod, sets, (), count[:1]),
        spread(arm_angle, sets + heights, (), count[:2]),
        spread(inner, batch, (3,), (*count, 3)),
    )
    before = sets + heights + (1,) * len(steers)
    return CornerPoses(
        arm=Motion(rotations[0].reshape((*before, 3, 3)), shifts[0].reshape((*before, 3))),
        upper_arm=None,
        carrier=Motion(rotations[1].reshape((*before, 3, 3)), shifts[1].reshape((*before, 3))),
        knuckle=Motion(knuckle_rotation.reshape((*batch, 3, 3)), knuckle_shift.reshape((*batch, 3))),
        arm_angle_rad=arm_angle_rad,
        upper_angle_rad=upper[0].reshape(before),
        knuckle_angle_rad=steer[0].reshape(batch),
        upper_room_mm=upper[1].reshape(before),
        tie_rod_room_mm=steer[1].reshape(batch),
    )


@cache
def _kernel() -> Callable[..., Any]:
    from coachwork.studies.linkage.compiled_kernel import camber_link_poses

    return camber_link_poses
