"""The least signed distance of each of many points from many solids, such as one solid in all its poses.

A tree of boxes over the points, as `box_tree` has one over triangles: what a solid says of a box from its middle bounds
all of its points from below, so that few points are looked at, and none is left out that comes nearer than was asked.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.solids import Solid
from coachwork.geometry.vectors import Array

Index = NDArray[np.intp]
LEAF = 16  # points
AT_ONCE = 64  # solids: keeps the memory small, and what was found lets later ones be left out


@dataclass(frozen=True, eq=False, kw_only=True)
class Nearest:
    """Of each point (n,): its distance, infinite where nothing comes near; which solid, -1 there; the nearest way."""

    distance: Array
    solid: Index
    toward: Array  # (n, 3), of length one, from the point to the solid's surface when outside of it


class PointTree:
    """Points (n, 3), halved at the median of their longest way again and again; the last ones are repeated to fill it.

    >>> from coachwork.geometry.solids import Capsule
    >>> balls = Capsule(start=np.array([[0.0, 0, 0], [5.0, 0, 0]]), end=np.array([[0.0, 0, 0], [5.0, 0, 0]]),
    ...                 radius=np.ones(1))
    >>> found = PointTree(np.array([[3.0, 0, 0], [5.5, 0, 0], [99.0, 0, 0]])).nearest(balls, within=9.0)
    >>> found.distance, found.solid
    (array([ 1. , -0.5,  inf]), array([ 1,  1, -1]))
    """

    def __init__(self, points: Array) -> None:
        self.points = points
        if not len(points):
            return
        depth = max(0, int(np.ceil(np.log2(len(points) / LEAF))))
        order = np.sort(np.resize(np.arange(len(points)), LEAF << depth)).reshape(1, -1)
        for _ in range(depth):
            own = points[order]
            longest = np.ptp(own, axis=1).argmax(axis=1)
            keys = np.take_along_axis(own, longest[:, None, None], axis=2)[..., 0]
            half = order.shape[1] // 2
            order = np.take_along_axis(order, np.argpartition(keys, half, axis=1), axis=1).reshape(-1, half)
        self._leaves = order
        levels = [(points[order].min(axis=1), points[order].max(axis=1))]
        while len(levels[0][0]) > 1:
            low, high = levels[0]
            levels.insert(0, (np.minimum(low[::2], low[1::2]), np.maximum(high[::2], high[1::2])))
        self._levels = [((low + high) / 2, (high - low) / 2) for low, high in levels]

    def nearest(
        self, solids: Solid, *, within: float, watch: Callable[[int, int], None] = lambda done, of: None
    ) -> Nearest:
        """The least over all solids; points no nearer than `within` are not told apart.

        watch : called with solids done and in all; may raise to stop
        """
        best = np.full(len(self.points), within)
        which = np.full(len(self.points), -1, dtype=np.intp)
        toward = np.zeros((len(self.points), 3))
        for start in range(0, solids.count if len(self.points) else 0, AT_ONCE):
            watch(start, solids.count)
            solid, leaf = self._near(solids, np.arange(start, min(start + AT_ONCE, solids.count)), best)
            if not solid.size:
                continue
            solid, point = np.repeat(solid, LEAF), self._leaves[leaf].ravel()
            seen = solids.take(solid).signed(self.points[point])
            closer = np.flatnonzero(seen.distance < best[point])
            np.minimum.at(best, point[closer], seen.distance[closer])
            lead = closer[seen.distance[closer] == best[point[closer]]]
            which[point[lead]], toward[point[lead]] = solid[lead], -seen.gradient[lead]
        return Nearest(distance=np.where(which < 0, np.inf, best), solid=which, toward=toward)

    def _near(self, solids: Solid, some: Index, best: Array) -> tuple[Index, Index]:
        """Solids and leaves, of which the one may come nearer to a point of the other than is known."""
        worst = [best[self._leaves].max(axis=1)]
        for _ in pairwise(self._levels):
            worst.insert(0, np.maximum(worst[0][::2], worst[0][1::2]))
        solid, node = some, np.zeros_like(some)
        for level, (middle, half) in enumerate(self._levels):
            own = solids.take(solid)
            near = own.below_box(own.signed(middle[node]), half[node]) < worst[level][node]
            solid, node = solid[near], node[near]
            if level + 1 < len(self._levels):
                solid, node = np.repeat(solid, 2), (2 * node[:, None] + np.arange(2)).ravel()
        return solid, node
