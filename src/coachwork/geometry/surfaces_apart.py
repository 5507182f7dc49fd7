"""How far two surfaces of triangles are apart, and where; nought where they touch or cross.

Both trees of boxes are gone down together. What two boxes are apart bounds all that lies in them from below, so that
pairs no nearer than the best that is known are dropped; two triangles are then compared in full: each corner with the
other's face, each edge with the other's edges, each edge with the other's face.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.box_tree import LEAF, BoxTree
from coachwork.geometry.vectors import Array, dot

Index = NDArray[np.intp]
AT_ONCE = 4_000  # pairs of leaves compared together, 16 triangle pairs each: keeps the memory small
PLUNGE = 32  # pairs gone down with first, for a good first guess
EDGES = ((0, 1), (1, 2), (2, 0))


@dataclass(frozen=True, eq=False, kw_only=True)
class Apart:
    """The least distance; infinite, and no points, where it is no less than was asked for."""

    distance: float
    on_one: Array | None = None
    on_other: Array | None = None


def apart(one: BoxTree, other: BoxTree, *, within: float = np.inf) -> Apart:
    """Of two surfaces, each a tree over one part.

    within : what is no nearer than this does not matter
    """
    best = Apart(distance=within)
    pairs = np.array([[one.root[0], other.root[0]]])
    while len(pairs):
        below = _boxes_apart(one, other, pairs)
        pairs = pairs[below < best.distance]
        below = below[below < best.distance]
        if not len(pairs):
            break
        ends = (one.child[pairs[:, 0]] < 0) & (other.child[pairs[:, 1]] < 0)
        if ends.all():
            return _over_leaves(one, other, pairs[np.argsort(below, kind="stable")], best)
        if not np.isfinite(best.distance) or len(pairs) > PLUNGE:
            best = _plunged(one, other, pairs[np.argsort(below, kind="stable")[:PLUNGE]], best)
        pairs = np.concatenate([pairs[ends], _halved(one, other, pairs[~ends])])
    return best if best.on_one is not None else Apart(distance=np.inf)


def _boxes_apart(one: BoxTree, other: BoxTree, pairs: Index) -> Array:
    a, b = pairs.T
    gap = np.abs(one.middle[a] - other.middle[b]) - one.half[a] - other.half[b]
    return np.asarray(np.linalg.norm(np.maximum(gap, 0.0), axis=1))


def _halved(one: BoxTree, other: BoxTree, pairs: Index) -> Index:
    """The larger box of each pair in two; the only one that can be, else."""
    a, b = pairs.T
    larger = one.half[a].max(axis=1) >= other.half[b].max(axis=1)
    first = np.where(one.child[a] < 0, False, np.where(other.child[b] < 0, True, larger))
    steps = np.arange(2)
    left = np.where(first[:, None], one.child[a][:, None] + steps, a[:, None])
    right = np.where(first[:, None], b[:, None], other.child[b][:, None] + steps)
    return np.stack([left.ravel(), right.ravel()], axis=1)


def _plunged(one: BoxTree, other: BoxTree, pairs: Index, best: Apart) -> Apart:
    """A first guess: down from some pairs, each time with the nearer ones."""
    while True:
        ends = (one.child[pairs[:, 0]] < 0) & (other.child[pairs[:, 1]] < 0)
        if ends.all():
            return _over_leaves(one, other, pairs, best)
        pairs = np.concatenate([pairs[ends], _halved(one, other, pairs[~ends])])
        pairs = pairs[np.argsort(_boxes_apart(one, other, pairs), kind="stable")[:PLUNGE]]


def _over_leaves(one: BoxTree, other: BoxTree, pairs: Index, best: Apart) -> Apart:
    for start in range(0, len(pairs), AT_ONCE):
        some = pairs[start : start + AT_ONCE]
        some = some[_boxes_apart(one, other, some) < best.distance]
        if not len(some):
            continue
        a = np.repeat(one.leaf[some[:, 0]], LEAF, axis=1).ravel()
        b = np.tile(other.leaf[some[:, 1]], (1, LEAF)).ravel()
        distance, on_one, on_other = triangles_apart(one.triangles[a], other.triangles[b])
        least = int(distance.argmin())
        if distance[least] < best.distance:
            best = Apart(distance=float(distance[least]), on_one=on_one[least], on_other=on_other[least])
    return best


def triangles_apart(one: Array, other: Array) -> tuple[Array, Array, Array]:
    """Distance (n,) and the nearest points (n, 3) of triangles (n, 3 corners, 3); nought, and a point of both, where
    they cross. Needles and triangles without area count as their edges.

    Source : C. Ericson, Real-Time Collision Detection (2005), sections 5.1.5 and 5.1.9; crossing by an edge's two ends
             on either side of the other's plane
    """
    found: list[tuple[Array, Array, Array]] = []
    for i in range(3):
        foot = _on_face(other, one[:, i])
        found.append((np.linalg.norm(one[:, i] - foot, axis=1), one[:, i], foot))
        foot = _on_face(one, other[:, i])
        found.append((np.linalg.norm(other[:, i] - foot, axis=1), foot, other[:, i]))
    for a, b in EDGES:
        for c, d in EDGES:
            near, far = _edges_nearest(one[:, a], one[:, b], other[:, c], other[:, d])
            found.append((np.linalg.norm(near - far, axis=1), near, far))
        for edge, face in ((one, other), (other, one)):
            hit, at = _pierced(edge[:, a], edge[:, b], face)
            found.append((np.where(hit, 0.0, np.inf), at, at))
    distance = np.stack([each[0] for each in found])
    least, row = distance.argmin(axis=0), np.arange(distance.shape[1])
    return (
        distance[least, row], np.stack([each[1] for each in found])[least, row],
        np.stack([each[2] for each in found])[least, row],
    )  # fmt: skip


def _on_face(triangle: Array, point: Array) -> Array:
    """The foot of each point on its triangle's plane, or far away where that is outside of it: then an edge is nearer,
    and edges are compared besides.
    """
    a, ab, ac = triangle[:, 0], triangle[:, 1] - triangle[:, 0], triangle[:, 2] - triangle[:, 0]
    u, v = _weights(ab, ac, point - a)
    inside = (u >= 0) & (v >= 0) & (u + v <= 1)
    return np.where(inside[:, None], a + u[:, None] * ab + v[:, None] * ac, 1e30)


def _weights(ab: Array, ac: Array, ap: Array) -> tuple[Array, Array]:
    """Of the corners b and c; NaN for a triangle without area."""
    d00, d01, d11 = dot(ab, ab), dot(ab, ac), dot(ac, ac)
    d20, d21 = dot(ap, ab), dot(ap, ac)
    with np.errstate(divide="ignore", invalid="ignore"):
        below = d00 * d11 - d01 * d01
        return (d11 * d20 - d01 * d21) / below, (d00 * d21 - d01 * d20) / below


def _edges_nearest(p: Array, q: Array, r: Array, s: Array) -> tuple[Array, Array]:
    """Nearest points of segments pq and rs; ends count, so points and parallel segments need no case of their own."""
    d1, d2, back = q - p, s - r, p - r
    a, e, f, b, c = dot(d1, d1), dot(d2, d2), dot(d2, back), dot(d1, d2), dot(d1, back)
    with np.errstate(divide="ignore", invalid="ignore"):
        along = np.nan_to_num(np.clip((b * f - c * e) / (a * e - b * b), 0.0, 1.0))
        other = np.nan_to_num((b * along + f) / e)
        kept = np.clip(other, 0.0, 1.0)
        again = np.nan_to_num(np.clip((b * kept - c) / a, 0.0, 1.0))
    along = np.where(kept != other, again, along)
    return p + along[:, None] * d1, r + kept[:, None] * d2


def _pierced(p: Array, q: Array, triangle: Array) -> tuple[Array, Array]:
    """Whether a segment goes through a triangle, and where it meets its plane."""
    a, ab, ac = triangle[:, 0], triangle[:, 1] - triangle[:, 0], triangle[:, 2] - triangle[:, 0]
    normal = np.cross(ab, ac)
    above, below = dot(p - a, normal), dot(q - a, normal)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = p + np.clip(np.nan_to_num(above / (above - below)), 0.0, 1.0)[:, None] * (q - p)
    u, v = _weights(ab, ac, at - a)
    return (above * below <= 0) & (above != below) & (u >= 0) & (v >= 0) & (u + v <= 1), at
