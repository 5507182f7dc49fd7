"""Which way is up and which way is along: the box around the outline, the open underside, the sill line.

Body frame: x along (either way round until the nose is known), y left, z up, y = 0 on the plane of symmetry.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.spatial import ConvexHull

from coachwork.errors import Unsure
from coachwork.geometry.rigid import Motion
from coachwork.scans.mesh import Mesh, Numbers
from coachwork.scans.symmetry import Plane

OPEN = 0.15  # by how much more the roof must be closed than the underside; our choice
STEEPEST_SILL = 0.25  # slope against the box around the outline, beyond which the sill is none


def upright(mesh: Mesh, plane: Plane, marks: Mapping[str, Numbers], random: np.random.Generator) -> Motion:
    """Carries the mesh's points into the body frame, but for the sill's slope and which end is the nose.

    Raises Unsure where top and underside are open alike and no mark says which is which.
    """
    points, _ = mesh.sampled(60_000, random)
    first = np.cross(plane.normal, np.eye(3)[np.argmin(np.abs(plane.normal))])
    first /= np.linalg.norm(first)
    flat = np.stack([first, np.cross(plane.normal, first)])  # two directions in the plane
    outline = points @ flat.T
    along = _box_direction(outline)
    x = along @ flat
    z = np.cross(x, plane.normal)
    up = _closed_side(points @ np.stack([x, plane.normal, z]).T)
    if "roof" in marks:
        middle = points.mean(axis=0)
        up = float(np.sign((marks["roof"] - middle) @ z))
    elif abs(up) < OPEN:
        raise Unsure(
            "top and underside are about as open as each other; give a point on the roof: --landmark roof=x,y,z"
        )
    z = z * np.sign(up)
    rotation = np.stack([x, np.cross(z, x), z])
    middle = plane.normal * plane.distance
    shift = -rotation @ middle
    shift[0] = shift[2] = 0.0
    return Motion(rotation, shift)


def _box_direction(outline: Numbers) -> Numbers:
    """Long side of the smallest rectangle round points (n, 2): one of its sides lies on the hull's (Freeman 1975)."""
    corners = outline[ConvexHull(outline).vertices]
    sides = np.diff(corners, axis=0, append=corners[:1])
    sides /= np.linalg.norm(sides, axis=1, keepdims=True)
    across = np.stack([-sides[:, 1], sides[:, 0]], axis=1)
    length, height = np.ptp(corners @ sides.T, axis=0), np.ptp(corners @ across.T, axis=0)
    best = int(np.argmin(length * height))
    return np.asarray(sides[best] if length[best] >= height[best] else across[best])


def _closed_side(points: Numbers) -> float:
    """Positive: seen from +z the body is closed, from -z one looks into it. From -1 to 1."""
    low, high = points.min(axis=0), points.max(axis=0)
    cells = np.maximum(np.ceil((high - low)[:2] / (high - low).max() * 80), 1).astype(int)
    place = np.minimum(((points - low)[:, :2] / (high - low)[:2] * cells).astype(int), cells - 1)
    cell = place[:, 0] * cells[1] + place[:, 1]
    top, bottom = np.full(cells.prod(), -np.inf), np.full(cells.prod(), np.inf)
    np.maximum.at(top, cell, points[:, 2])
    np.minimum.at(bottom, cell, points[:, 2])
    seen = np.isfinite(top)
    middle = (low[2] + high[2]) / 2
    return float(np.mean(top[seen] > middle) - np.mean(bottom[seen] < middle))


@dataclass(frozen=True, kw_only=True)
class SillLine:
    """The lower edge of the body's sides, seen from the side: z = height + slope x.

    half_height, half_slope : half-widths      share : of the body's length that lies on it
    """

    height: float
    slope: float
    half_height: float
    half_slope: float
    share: float


def sill_line(mesh: Mesh, *, noise: float, spacing: float) -> SillLine:
    """From a mesh in the body frame. Raises Unsure where the lower edge is no line."""
    x, y, z = mesh.vertices.T
    half = float(np.quantile(np.abs(y), 0.995))
    side = np.abs(y) > 0.8 * half
    bins = 160
    low, length = float(x.min()), float(np.ptp(x))
    column = np.minimum(((x[side] - low) / length * bins).astype(int), bins - 1)
    lowest = np.full(bins, np.inf)
    np.minimum.at(lowest, column, z[side])
    at = low + (np.arange(bins) + 0.5) / bins * length
    known = np.isfinite(lowest)
    at, lowest = at[known], lowest[known]
    reach = max(6 * noise, 0.002 * length)
    first, then = np.triu_indices(len(at), k=len(at) // 8)
    slopes = (lowest[then] - lowest[first]) / (at[then] - at[first])
    first, slopes = first[np.abs(slopes) < STEEPEST_SILL], slopes[np.abs(slopes) < STEEPEST_SILL]
    heights = lowest[first] - slopes * at[first]
    votes = np.array([
        np.sum(np.abs(lowest - heights[i : i + 2000, None] - slopes[i : i + 2000, None] * at) < reach, axis=1)
        for i in range(0, len(slopes), 2000)
    ], dtype=object)  # fmt: skip
    count = np.concatenate(list(votes)) if len(votes) else np.zeros(0)
    if not len(count) or count.max() < 0.2 * bins:
        raise Unsure("the lower edge of the sides is no straight line; which way is level cannot be told")
    best = int(np.argmax(count))
    height, slope = float(heights[best]), float(slopes[best])
    edge = edge_vertices(mesh, np.tile([0.0, 0.0, 1.0], (len(mesh.faces), 1))) & side
    reach = max(6 * noise, 0.4 * spacing)
    for _ in range(6):
        near = edge & (np.abs(z - height - slope * x) < reach)
        if near.sum() < 20:
            raise Unsure("the lower edge of the sides could not be followed")
        centre = x[near].mean()
        table = np.column_stack([np.ones(near.sum()), x[near] - centre])
        (level, slope), *_ = np.linalg.lstsq(table, z[near], rcond=None)
        height = float(level - slope * centre)
    off = z[near] - height - slope * x[near]
    se = float(off.std()) / np.sqrt(near.sum())
    on = np.abs(lowest - height - slope * at) < max(6 * noise, 0.002 * length)
    return SillLine(
        height=height,
        slope=float(slope),
        half_height=3 * se + noise + 0.02 * spacing,
        half_slope=3 * se / max(float(x[near].std()), 1e-9) + noise / length,
        share=float(on.mean()),
    )


def edge_vertices(mesh: Mesh, toward: Numbers) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Vertices of an edge that faces `toward` (m, 3), unit vectors at the triangles, (n,).

    Those of triangles that face it, which a wall's edge has, and those on the mesh's border, where one skin ends.
    """
    facing = np.abs(np.einsum("ij,ij->i", mesh.normals, toward)) > 0.75
    mark = mesh.at_border.copy()
    mark[mesh.faces[facing].ravel()] = True
    return mark
