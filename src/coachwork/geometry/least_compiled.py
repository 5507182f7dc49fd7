"""`least_distance.between` for one pool, by the compiled loop; importing this module imports numba."""

from __future__ import annotations

import numpy as np

from coachwork.geometry.least_distance import TOLERANCE, Least, NotConverged
from coachwork.geometry.least_kernel import BARREL, BLOCK, POLYGON, RING, search
from coachwork.geometry.sections import Barrel, Polygon
from coachwork.geometry.solids import Block, Capsule, Revolved, Solid
from coachwork.geometry.vectors import Array

_Told = tuple[int, Array, Array, Array, Array]  # kind, centres (n, 3), directions (n, 3, 3), sizes (n, 5), corners


def least_of_all(solids: Solid, corners: Array, thickness: Array, *, tolerance: float = TOLERANCE) -> Least:
    """The least distance, (1,), from any solid (n) to its own pieces (n, m, k, 3) of a thickness (n, m).

    As `between` with one pool, within the same tolerance. Raises NotConverged.
    """
    *found, lost = search(*_told(solids), np.ascontiguousarray(corners), np.ascontiguousarray(thickness), tolerance)
    if lost:
        raise NotConverged(f"{lost} pieces ran out of room")
    distance, point, gradient, solid, piece = found
    return Least(
        distance=np.array([distance]), point=point[None], gradient=gradient[None], solid=np.array([solid]),
        piece=np.array([piece]), thickness=thickness[solid, piece][None] if solid >= 0 else np.zeros(1),
    )  # fmt: skip


def _told(solids: Solid) -> _Told:
    """A solid as the loop wants it."""
    if isinstance(solids, Capsule):
        solids = solids.turned()
    count = solids.count
    sizes, corners = np.zeros((count, 5)), np.zeros((count, 0, 2))
    if isinstance(solids, Block):
        sizes[:, :3] = solids.half
        return BLOCK, solids.middle, solids.edges, sizes, corners
    if not isinstance(solids, Revolved):
        raise TypeError(f"no compiled loop for {type(solids).__name__}")
    directions = np.zeros((count, 3, 3))
    directions[:, 0] = solids.axis
    section = solids.section
    if isinstance(section, Polygon) and section.corners.shape[1] > 2:
        sizes[:, 0] = section.rounding
        spread = np.ascontiguousarray(np.broadcast_to(section.corners, (count, *section.corners.shape[1:])))
        return POLYGON, solids.centre, directions, sizes, spread
    if not isinstance(section, Barrel):
        raise TypeError("no compiled loop for a section of one or two corners")
    names = ("outer", "half_width", "shoulder", "crown") + (() if section.inner is None else ("inner",))
    for place, name in enumerate(names):
        sizes[:, place] = getattr(section, name)
    return (BARREL if section.inner is None else RING), solids.centre, directions, sizes, corners
