"""The least signed distance between solids and pieces of surface: triangles, lines, points, each with a thickness.

Branch and bound. Every piece is bounded from below by what `Solid.below` says from its middle; the distance at the
middle, and at the corner where the bound is lowest, is an upper bound. What cannot hold the least distance is dropped,
the rest is halved across its longest edge, until the two bounds agree. Near the least place the bounds differ by the
square of a piece's size over the solid's radius, so that a dozen halvings do.

Rows that compete share a *pool*: one least distance is found for each pool (a pose, or a pair of parts over all poses).
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.solids import Seen, Solid
from coachwork.geometry.vectors import Array

Index = NDArray[np.intp]
TOLERANCE = 1e-5  # in the length unit, millimetres here: a tenth of the fineness that is promised
MOST_HALVINGS = 200  # a crease in the middle of a deep penetration halves slowly: 2 x log2(100 mm / 1e-5 mm), and slack


class NotConverged(RuntimeError):
    """The bounds did not meet: a bug or numbers that are not finite."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Least:
    """The least distance of each pool: arrays (pools,)."""

    distance: Array  # infinite for a pool without rows
    point: Array  # (pools, 3), on the piece (in the middle of its thickness)
    gradient: Array  # (pools, 3), from the solid towards the point
    solid: Index  # which solid
    piece: Index  # which piece
    thickness: Array  # of that piece, already taken off the distance

    @classmethod
    def nothing(cls, pools: int) -> Least:
        """Before anything was looked at."""
        return cls(
            distance=np.full(pools, np.inf), point=np.full((pools, 3), np.nan), gradient=np.zeros((pools, 3)),
            solid=np.full(pools, -1, dtype=np.intp), piece=np.full(pools, -1, dtype=np.intp), thickness=np.zeros(pools),
        )  # fmt: skip

    @property
    def on_solid(self) -> Array:
        """The nearest points of the solid's surface, (pools, 3)."""
        return np.asarray(self.point - (self.distance + self.thickness)[:, None] * self.gradient)

    @property
    def on_piece(self) -> Array:
        """The nearest points of the piece's surface, (pools, 3)."""
        return np.asarray(self.point - self.thickness[:, None] * self.gradient)

    def better(self, seen: Seen, pool: Index, solid: Index, piece: Index, thickness: Array) -> Least:
        """With rows (n,) taken in."""
        distance = seen.distance - thickness
        gain = np.flatnonzero(distance < self.distance[pool])
        if not gain.size:
            return self
        lowest = self.distance.copy()
        np.minimum.at(lowest, pool[gain], distance[gain])
        first = gain[distance[gain] == lowest[pool[gain]]]
        new = {field.name: getattr(self, field.name).copy() for field in fields(self)}
        values = {
            "distance": distance, "point": seen.point, "gradient": seen.gradient, "solid": solid, "piece": piece,
            "thickness": thickness,
        }  # fmt: skip
        for name, value in values.items():
            new[name][pool[first]] = value[first]
        return Least(**new)


@dataclass(frozen=True, eq=False, kw_only=True)
class Rows:
    """Pieces waiting to be looked at: corners (n, k, 3) with k from 1 to 3, whose they are, where they compete."""

    corners: Array
    solid: Index
    piece: Index
    pool: Index
    thickness: Array

    def at(self, which: Index | NDArray[np.bool_]) -> Rows:
        """Some of them."""
        return Rows(**{field.name: getattr(self, field.name)[which] for field in fields(self)})

    def halved(self) -> Rows:
        """Each in two, across its longest edge."""
        count = self.corners.shape[1]
        pairs = [(0, 1)] if count == 2 else [(0, 1), (1, 2), (2, 0)]
        edges = np.stack([np.sum((self.corners[:, a] - self.corners[:, b]) ** 2, axis=-1) for a, b in pairs], axis=-1)
        longest = edges.argmax(axis=-1)
        row = np.arange(len(longest))
        a, b = np.array(pairs)[longest].T
        middle = (self.corners[row, a] + self.corners[row, b]) / 2
        one, other = self.corners.copy(), self.corners.copy()
        one[row, a], other[row, b] = middle, middle
        both = {field.name: np.concatenate([getattr(self, field.name)] * 2) for field in fields(self)}
        return Rows(**both | {"corners": np.concatenate([one, other])})


def least(solids: Solid, rows: Rows, best: Least, *, tolerance: float = TOLERANCE) -> Least:
    """The least distance of each pool over these rows and what was known before, to within `tolerance` above it.

    Signed: negative where a piece enters a solid, and then the depth of its deepest point: the shortest way out of the
    solid for that point alone. Raises NotConverged.
    """
    for _ in range(MOST_HALVINGS):
        if not rows.pool.size:
            return best
        own = solids.take(rows.solid)
        seen = own.signed(rows.corners.mean(axis=1))
        best = best.better(seen, rows.pool, rows.solid, rows.piece, rows.thickness)
        if rows.corners.shape[1] == 1:
            return best
        tangent = own.below(seen, rows.corners)
        lowest = tangent.argmin(axis=1)
        bound = tangent[np.arange(lowest.size), lowest]
        waits = bound - rows.thickness < best.distance[rows.pool] - tolerance
        rows, inside, lowest = rows.at(waits), seen.distance[waits] < 0, lowest[waits]
        if not rows.pool.size:
            return best
        # Where the least place is on an edge, only a point on the edge comes near it as fast as the bound does.
        seen = solids.take(rows.solid).signed(rows.corners[np.arange(lowest.size), lowest])
        best = best.better(seen, rows.pool, rows.solid, rows.piece, rows.thickness)
        if inside.any():
            deep = np.flatnonzero(inside)
            bound = _below_creased(solids.take(rows.solid[deep]), rows.corners[deep]) - rows.thickness[deep]
            shut = deep[bound >= best.distance[rows.pool[deep]] - tolerance]
            rows = rows.at(np.delete(np.arange(rows.pool.size), shut))
        rows = rows.halved()
    raise NotConverged(f"{rows.pool.size} pieces are still open after {MOST_HALVINGS} halvings")


def _below_creased(solids: Solid, corners: Array) -> Array:
    """A bound (n,) that also sees creases, which the depth has where two faces are equally near.

    Tangents are taken at every corner. Any mixture of two of them lies below the distance too, and is least at a
    corner; the mixture tried is each at which two corners are equally low. Without this, pieces along a crease would
    be halved down to the tolerance itself.
    """
    count = corners.shape[1]
    tangents = [solids.below(solids.signed(corners[:, i]), corners) for i in range(count)]
    bound = np.max([tangent.min(axis=1) for tangent in tangents], axis=0)
    for i, one in enumerate(tangents):
        for other in tangents[:i]:
            for j in range(count):
                for k in range(j):
                    slope = (one - other)[:, j] - (one - other)[:, k]
                    with np.errstate(divide="ignore", invalid="ignore"):
                        share = (other[:, k] - other[:, j]) / slope
                    share = np.clip(np.nan_to_num(share), 0.0, 1.0)[:, None]
                    bound = np.maximum(bound, (share * one + (1 - share) * other).min(axis=1))
    return np.asarray(bound)


def between(
    solids: Solid, corners: Array, *, thickness: Array | float = 0.0, pool: Index | None = None,
    pools: int | None = None, tolerance: float = TOLERANCE,
) -> Least:  # fmt: skip
    """The least distance from each solid (n) to its own pieces, corners (n, m, k, 3), or (1, m, k, 3) for all alike.

    thickness : of the pieces, broadcast to (n, m)        pool : (n,) or (n, m); each solid on its own if left out

    >>> from coachwork.geometry.solids import Capsule
    >>> ball = Capsule(start=np.zeros((1, 3)), end=np.zeros((1, 3)), radius=np.array([1.0]))
    >>> wall = np.array([[[[3.0, -9.0, -9.0], [3.0, 9.0, -9.0], [3.0, 0.0, 9.0]]]])
    >>> between(ball, wall).distance.round(4)
    array([2.])
    """
    count, pieces = solids.count, corners.shape[1]
    full = (count, pieces)
    corners = np.broadcast_to(corners, (*full, *corners.shape[2:])).reshape(-1, *corners.shape[2:])
    which = np.arange(count) if pool is None else np.asarray(pool)
    which = np.broadcast_to(which[:, None] if which.ndim == 1 else which, full)
    rows = Rows(
        corners=corners, solid=np.repeat(np.arange(count), pieces), piece=np.tile(np.arange(pieces), count),
        pool=which.ravel(), thickness=np.broadcast_to(np.asarray(thickness, dtype=float), full).ravel(),
    )  # fmt: skip
    size = int(which.max(initial=-1)) + 1 if pools is None else pools
    return least(solids, rows, Least.nothing(size), tolerance=tolerance)
