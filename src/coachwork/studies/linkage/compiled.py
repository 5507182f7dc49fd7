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
    """What `corner.poses` gives, all arrays at the full batch shape (...).

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
    sets, each = batch[:split], prod(batch[split:])

    def per_set(values: Array, tail: tuple[int, ...]) -> Array:
        values = values.reshape((1,) * (len(batch) + len(tail) - values.ndim) + values.shape)
        values = values.reshape(values.shape[:split] + tail)
        return np.ascontiguousarray(np.broadcast_to(values, sets + tail)).reshape((-1, *tail))

    def per_pose(values: Array, tail: tuple[int, ...]) -> Array:
        return np.ascontiguousarray(np.broadcast_to(values, batch + tail)).reshape((prod(sets), each, *tail))

    rotations, shifts, scalars = _kernel()(
        per_set(points, (10, 3)), per_set(camber_link, ()), per_set(tie_rod, ()),
        per_pose(arm_angle_rad, ()), per_pose(inner, (3,)),
    )  # fmt: skip
    arm, carrier, knuckle = (
        Motion(rotation.reshape((*batch, 3, 3)), shift.reshape((*batch, 3)))
        for rotation, shift in zip(rotations, shifts, strict=True)
    )
    upper_angle, knuckle_angle, upper_room, tie_rod_room = (each.reshape(batch) for each in scalars)
    return CornerPoses(
        arm=arm,
        upper_arm=None,
        carrier=carrier,
        knuckle=knuckle,
        arm_angle_rad=arm_angle_rad,
        upper_angle_rad=upper_angle,
        knuckle_angle_rad=knuckle_angle,
        upper_room_mm=upper_room,
        tie_rod_room_mm=tie_rod_room,
    )


@cache
def _kernel() -> Callable[..., Any]:
    from coachwork.studies.linkage.compiled_kernel import camber_link_poses

    return camber_link_poses
