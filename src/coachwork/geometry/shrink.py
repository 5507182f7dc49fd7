r"""Fewer corners for a region of the plane, and never more room: rings simplified towards the region's inside.

Rings run with the region on their left: the outer one counter-clockwise, holes clockwise. Two moves take area away:

    cut off a corner that points out         carry on the two sides of an edge that points in
                                                    before                beyond
              corner                                     \    region    /
             /      \                                     \   . apex   /
       before ------ after                                corner -- after
             region                                          no region

Any one length unit.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
STRAIGHT = 0.01  # of the tolerance: a corner that points in by no more is taken to be on a straight edge
_ALONG = np.linspace(0.125, 0.875, 7)[:, None]  # where on a new edge it is looked how far off the old rim it runs


def shrunk(rings: list[Numbers], tolerance: float) -> list[Numbers]:
    """The rings with fewer corners, nowhere further than `tolerance` inside of where they were.

    rings : (n, 2) each, simple, apart from one another, the region on their left
    """
    rings = [ring[(ring != np.roll(ring, 1, axis=0)).any(axis=1)] for ring in rings]
    for k in range(len(rings)):
        others = np.concatenate([np.zeros((0, 2)), *(ring for i, ring in enumerate(rings) if i != k)])
        rings[k] = _Ring(rings[k], others, tolerance).shrunk()
    return rings


class _Ring:
    """A ring that loses corners, cheapest first; what each move would cost is kept until its neighbours change."""

    def __init__(self, corners: Numbers, others: Numbers, tolerance: float) -> None:
        self.old, self.others, self.tolerance = corners, others, tolerance
        self.corners = corners.copy()
        self.cuts = np.array([self._cut(k) for k in range(len(corners))])
        self.apexes = np.array([self._apex(k) for k in range(len(corners))])
        self.carried = np.array([self._carry(k) for k in range(len(corners))])

    def shrunk(self) -> Numbers:
        while len(self.corners) > 3:
            costs = np.concatenate([self.cuts, self.carried])
            k = int(np.argmin(costs))
            if not np.isfinite(costs[k]):
                break
            if k < len(self.corners):
                self._do_cut(k)
            else:
                self._do_carry(k - len(self.corners))
        return self.corners

    def _do_cut(self, k: int) -> None:
        if self._passes([k - 1, k, self._next(k)], self.corners[k]):
            self.cuts[k] = np.inf
            return
        self._drop(k)

    def _do_carry(self, k: int) -> None:
        after = self._next(k)
        if self._passes([k, after], self.apexes[k]):
            self.carried[k] = np.inf
            return
        self.corners[k] = self.apexes[k]
        self._drop(after)

    def _drop(self, k: int) -> None:
        for name in ("corners", "cuts", "apexes", "carried"):
            setattr(self, name, np.delete(getattr(self, name), k, axis=0))
        n = len(self.corners)
        for near in {(k + step) % n for step in range(-3, 3)}:
            self.cuts[near] = self._cut(near)
            self.apexes[near] = self._apex(near)
            self.carried[near] = self._carry(near)

    def _next(self, k: int) -> int:
        return (k + 1) % len(self.corners)

    def _turn(self, k: int) -> float:
        """Positive where the corner points out."""
        before, here, after = self.corners[k - 1], self.corners[k], self.corners[self._next(k)]
        return float(_cross(here - before, after - here))

    def _cut(self, k: int) -> float:
        """How far from the old rim a corner's neighbours would be joined; infinite where that may not be."""
        before, here, after = self.corners[k - 1], self.corners[k], self.corners[self._next(k)]
        off = max(_distance(before + _ALONG * (after - before), self.old), _distance(here[None], [before, after]))
        return off if off <= self.tolerance * (1 if self._turn(k) >= 0 else STRAIGHT) else np.inf

    def _apex(self, k: int) -> Numbers:
        """Where the sides beside the edge after a corner meet, carried on; NaN where they do not."""
        before, here, after = self.corners[k - 1], self.corners[k], self.corners[self._next(k)]
        beyond = self.corners[(k + 2) % len(self.corners)]
        one, two = here - before, after - beyond
        size = float(_cross(one, two))
        if size == 0 or self._turn(k) >= 0 or self._turn(self._next(k)) >= 0:
            return np.full(2, np.nan)
        s, t = float(_cross(beyond - before, two)) / size, float(_cross(beyond - before, one)) / size
        return np.asarray(before + s * one) if s >= 1 and t >= 1 else np.full(2, np.nan)

    def _carry(self, k: int) -> float:
        """How far from the old rim the apex is; infinite where there is none, or it is too far."""
        if np.isnan(self.apexes[k]).any():
            return np.inf
        off = _distance(self.apexes[k][None], self.old)
        return off if off <= self.tolerance else np.inf

    def _passes(self, taken: list[int], top: Numbers) -> bool:
        """Whether the rim, or another ring, passes through the triangle that would be taken away."""
        ends = self.corners[[taken[0], taken[-1]]]
        rest = np.concatenate([np.delete(self.corners, taken, axis=0), self.others])
        return _any_in(np.array([ends[0], top, ends[1]]), rest)


def _distance(points: Numbers, ring: Numbers | list[Numbers]) -> float:
    """Of points from a ring, or from the segment between two; the largest."""
    start = np.asarray(ring)[None]
    edge = np.roll(start, -1, axis=1) - start
    off = points[:, None] - start
    share = np.clip(np.sum(off * edge, axis=-1) / np.maximum(np.sum(edge**2, axis=-1), 1e-300), 0, 1)
    return float(np.linalg.norm(off - share[..., None] * edge, axis=-1).min(axis=1).max())


def _any_in(triangle: Numbers, points: Numbers) -> bool:
    """Whether any point lies in a triangle or on its rim."""
    near = points[((points >= triangle.min(axis=0)) & (points <= triangle.max(axis=0))).all(axis=1)]
    sides = np.stack([_cross(triangle[(i + 1) % 3] - triangle[i], near - triangle[i]) for i in range(3)])
    return bool(((sides >= 0).all(axis=0) | (sides <= 0).all(axis=0)).any())


def _cross(a: Numbers, b: Numbers) -> Numbers:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
