"""A patch of the shell laid flat at 1:1: the outline to cut through the wall along, as a paper wrapped on it shows it.

The patch is looked at along the way its surface mostly faces (from the side, or from above), so that the cut goes
straight through both skins. The paper lies on the outer skin and bends one way only, as paper does: round the line
that runs fore and aft. Heights along the paper are therefore lengths along the skin's own section through the patch's
middle; lengths fore and aft are as they are. What a surface that bends both ways makes wrong is told: `stretch`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.vectors import Array, cross
from coachwork.studies.clearance.trim import Patch

CELL_MM = 0.1
OUTER_MM = 1.0  # as far as the outer skin may bend away from its section through the middle


@dataclass(frozen=True, eq=False, kw_only=True)
class Outline:
    """Closed lines on flat paper, mm: x forward along the vehicle, y up the skin; seen from outside."""

    wheel: str
    lines: tuple[Array, ...]  # each (n, 2), its last point its first
    datum: Array  # (2,) on the paper: the wheel's axle line (x) and the underside's height or the centreline (y)
    seen_from: str  # "the left"
    stretch: float  # largest share by which lengths on the paper are wrong, along the outline

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of all lines together."""
        points = np.concatenate(self.lines)
        width, height = points.max(axis=0) - points.min(axis=0)
        return float(width), float(height)

    @property
    def area_mm2(self) -> float:
        """Enclosed."""
        return float(sum(abs(_area(line)) for line in self.lines))


def outline(patch: Patch, *, axle_x_mm: float) -> Outline:
    """The patch laid flat. Raises ValueError for an empty one."""
    if not len(patch.cut):
        raise ValueError("there is nothing to cut")
    left = float(patch.cut[..., 1].mean()) > 0
    across = _faces(patch.cut)
    up = 2 if across == 1 else 1
    lines = _silhouette(patch.cut[..., [0, up]])
    outward = (1.0 if left else -1.0) if across == 1 else 1.0
    skin = _around(patch)
    profile = _profile(skin, across=across, up=up, outward=outward)
    flat, stretch = [], 0.0
    for line in lines:
        along = _along(profile, line[:, 1])
        depth = np.interp(line[:, 1], profile[:, 0], profile[:, 1])
        own = _skin(skin, line, profile, across=across, up=up, outward=outward)
        stretch = max(stretch, _stretch(line[:, 0], along, np.stack([line[:, 0], line[:, 1], own], axis=-1), depth))
        # Seen from the left the vehicle drives to the left: the paper's x is mirrored, so that it fits from outside.
        flat.append(np.stack([(line[:, 0] - axle_x_mm) * (-1.0 if left and across == 1 else 1.0), along], axis=-1))
    side = "left" if left else "right"
    return Outline(
        wheel=patch.wheel, lines=tuple(flat), datum=np.array([0.0, _along(profile, np.zeros(1))[0]]),
        seen_from=f"the {side}" if across == 1 else "above", stretch=stretch,
    )  # fmt: skip


def _around(patch: Patch) -> Array:
    """Corners of the shell on the patch and around it, (n, 3): the outer skin is there even where it is not cut."""
    low, high = patch.cut.min(axis=(0, 1)) - 3.0, patch.cut.max(axis=(0, 1)) + 3.0
    kept = patch.kept.reshape(-1, 3)
    return np.concatenate([patch.cut.reshape(-1, 3), kept[((kept > low) & (kept < high)).all(axis=-1)]])


def _faces(triangles: Array) -> int:
    """The axis that the surface mostly looks along, y or z."""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    facing = np.abs(cross(b - a, c - a)).sum(axis=0)
    return 1 if facing[1] >= 0.5 * facing[2] else 2  # a lip turned in faces up; it is cut from the side all the same


def _silhouette(triangles: Array) -> list[Array]:
    """Outlines of what flat triangles (n, 3, 2) cover together, to a fraction of a cell."""
    from contourpy import contour_generator
    from scipy.ndimage import distance_transform_edt

    flat = triangles.reshape(-1, 2)
    low = flat.min(axis=0) - 10 * CELL_MM
    shape = np.ceil((flat.max(axis=0) + 10 * CELL_MM - low) / CELL_MM).astype(int) + 1
    covered = np.zeros(shape, dtype=bool)
    sides = np.linalg.norm(triangles - np.roll(triangles, 1, axis=1), axis=-1)
    steps = max(1, int(np.ceil(sides.max(initial=0.0) / (0.6 * CELL_MM))))
    for i in range(steps + 1):
        for j in range(steps + 1 - i):
            share = np.array([i, j, steps - i - j]) / steps
            points = np.einsum("nkj,k->nj", triangles, share)
            cells = np.round((points - low) / CELL_MM).astype(int)
            covered[cells[:, 0], cells[:, 1]] = True
    # A cell is covered as soon as a point rounds to it, half a cell too much on the mean; the level takes it off again.
    signed = distance_transform_edt(covered) - distance_transform_edt(~covered)
    lines = contour_generator(z=signed.T, line_type="Separate").lines(0.5)
    closed = [np.asarray(line) * CELL_MM + low for line in lines if len(line) > 8]
    return [line for line in closed if abs(_area(line)) > 0.2]


def _area(line: Array) -> float:
    x, y = line[:, 0], line[:, 1]
    return float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]) / 2)


def _profile(points: Array, *, across: int, up: int, outward: float) -> Array:
    """The outer skin's section: (height, how far out), at the patch's middle, the height rising."""
    heights = np.arange(points[:, up].min(), points[:, up].max() + 1.0, 1.0)
    middle = np.median(points[:, 0])
    near = np.argsort(np.abs(points[:, 0] - middle))[: max(50, len(points) // 3)]
    some = points[near]
    out = []
    for height in heights:
        row = some[np.abs(some[:, up] - height) <= 1.0]
        row = row if len(row) else points[np.abs(points[:, up] - height) <= 1.0]
        out.append(float((row[:, across] * outward).max()) if len(row) else np.nan)
    known = np.isfinite(out)
    return np.stack([heights, np.interp(heights, heights[known], np.array(out)[known])], axis=-1)


def _along(profile: Array, heights: Array) -> Array:
    """Length along the section from height 0 (straight on beyond its ends)."""
    steps = np.hypot(np.diff(profile[:, 0]), np.diff(profile[:, 1]))
    run = profile[0, 0] + np.r_[0.0, np.cumsum(steps)]
    inside = np.interp(heights, profile[:, 0], run)
    return np.asarray(inside + np.minimum(heights - profile[0, 0], 0) + np.maximum(heights - profile[-1, 0], 0))


def _skin(points: Array, line: Array, profile: Array, *, across: int, up: int, outward: float) -> Array:
    """How far out the outer skin is at the points of a line; NaN where only the inner skin is cut there."""
    from scipy.spatial import cKDTree

    out = points[:, across] * outward
    outer = out > np.interp(points[:, up], profile[:, 0], profile[:, 1]) - OUTER_MM
    points, out = points[outer], out[outer]
    near = cKDTree(points[:, [0, up]]).query_ball_point(line, 0.6)
    return np.array([out[some].max() if some else np.nan for some in near])


def _stretch(x: Array, along: Array, solid: Array, depth: Array) -> float:
    """By how much chords of about 10 mm differ between paper and skin, as a share."""
    there = np.where(np.isfinite(solid[:, 2]), solid[:, 2], depth)
    step = max(1, round(10 / max(np.hypot(np.diff(x), np.diff(along)).mean(), 1e-9)))
    if len(x) <= step + 1:
        return 0.0
    paper = np.hypot(x[step:] - x[:-step], along[step:] - along[:-step])
    skin = np.sqrt((solid[step:, 0] - solid[:-step, 0]) ** 2 + (solid[step:, 1] - solid[:-step, 1]) ** 2
                   + (there[step:] - there[:-step]) ** 2)  # fmt: skip
    long = paper > 3.0
    return float(np.abs(paper[long] / skin[long] - 1).max()) if long.any() else 0.0
