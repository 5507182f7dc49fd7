"""A wheel's bodies in all their poses, for the page to move them by; what it does between the poses: `page/pose.js`."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.confidence.json_form import Json
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.corners import LOCK, OTHER, TRAVEL, Corner
from coachwork.workbench.plain import numbers

GRID = (9, 13, 5)  # poses of travel, lock, a live axle's other wheel; between them the page goes straight


def corner_form(corner: Corner) -> dict[str, Json]:
    """A wheel's bodies over the grid of its poses, in the left end's frame, before `mirror` and `shift`.

    poses : {body: [x y z w, x y z] a pose}, quaternion and shift; null where the pose cannot be; travel the outermost,
            then lock, then the other wheel
    """
    grid = corner.grid
    axes = [np.linspace(-1, 1, GRID[axis]) if np.ptp(grid[:, axis]) > 0 else np.zeros(1) for axis in range(3)]
    shares = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    bodies = corner.bodies(shares)
    heights = _heights(corner, axes)
    return {
        "name": corner.name,
        "mirror": bodies.right,
        "shift": numbers(np.ravel(bodies.shift[0])),
        "axes": [numbers(axes[axis], 6) for axis in (TRAVEL, LOCK, OTHER)],
        "steered": corner.steered,
        "travel_mm": numbers(heights),
        "poses": {
            name: [None if body is None else numbers(body, 6) for body in _flat(motion, len(shares))]
            for name, motion in bodies.motions.items()
            if name not in ("chassis", "shell")
        },
    }


def _heights(corner: Corner, axes: list[Array]) -> Array:
    """How far the hub is from ride height at each share of travel, mm; NaN never: the stops are there."""
    return np.array([corner.pose(np.array([share, 0.0, 0.0])).travel_mm for share in axes[TRAVEL]])


def _flat(motion: Motion, count: int) -> Iterator[Array | None]:
    from scipy.spatial.transform import Rotation

    rotation = np.broadcast_to(motion.rotation, (count, 3, 3))
    shift = np.broadcast_to(motion.shift, (count, 3))
    there = np.asarray(np.isfinite(rotation).all(axis=(1, 2)) & np.isfinite(shift).all(axis=1))
    turned = np.zeros((count, 4))
    if there.any():
        turned[there] = Rotation.from_matrix(rotation[there]).as_quat()
    for i in range(count):
        yield np.concatenate([turned[i], shift[i]]) if there[i] else None
