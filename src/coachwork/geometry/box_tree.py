"""A tree of boxes over the triangles of some parts, and the least distances of many solids from each part.

The cull before the exact search. Bounds over whole boxes come from the same tangent planes as those over triangles, so
nothing is culled that could hold the least distance, however far away it is: there is no margin to choose or to grow.

Each part's tree is complete: its triangles are split at the median of their longest way, again and again, and the last
ones repeated to fill the leaves. Building takes 0.1 s for 200,000 triangles, once for all poses.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from importlib.util import find_spec
from itertools import pairwise

import numpy as np

from coachwork.geometry.least_distance import TOLERANCE, Index, Least, NotConverged, Rows, least
from coachwork.geometry.sections import Barrel
from coachwork.geometry.solids import Capsule, Revolved, Solid
from coachwork.geometry.vectors import Array

LEAF = 4  # triangles
AT_ONCE = 64  # solids searched together: keeps the memory small, and a run can be stopped in between
COMPILED_AT_ONCE = 512  # the compiled loop needs no memory
WORTH_COMPILING = 20_000  # triangles from which on loading the compiled loop, 0.5 s, is won back

Watch = Callable[[int, int], None]  # solids done, solids in all; may raise to stop


def pays_to_compile(triangles: int) -> bool:
    """Whether the compiled loops are there and save more than it takes to load them."""
    return triangles >= WORTH_COMPILING and find_spec("numba") is not None


@dataclass(frozen=True, eq=False, kw_only=True)
class BoxTree:
    """Boxes over the triangles of parts. Node i of a part has children at `child[i]` and the place behind it."""

    triangles: Array  # (triangles, 3 corners, 3)
    middle: Array  # (nodes, 3)
    half: Array  # (nodes, 3)
    child: Index  # (nodes,), -1 at leaves
    leaf: Index  # (nodes, LEAF), triangles; -1 at other nodes
    root: Index  # (parts,)
    first: Index  # (parts + 1,), where each part's triangles begin

    @classmethod
    def over(cls, parts: Sequence[Array]) -> BoxTree:
        """Trees over parts, each given by its triangles (n, 3, 3). Raises ValueError for a part without any."""
        trees = [_kept_tree(np.asarray(part, dtype=float)) for part in parts]
        nodes = np.r_[0, np.cumsum([len(tree[0]) for tree in trees])].astype(np.intp)
        first = np.r_[0, np.cumsum([len(part) for part in parts])].astype(np.intp)

        def joined(place: int, starts: Index) -> Index:
            shifted = [
                np.where(tree[place] >= 0, tree[place] + start, -1)
                for tree, start in zip(trees, starts[:-1], strict=True)
            ]
            return np.concatenate(shifted) if shifted else np.zeros(0, dtype=np.intp)

        return cls(
            triangles=np.concatenate([np.zeros((0, 3, 3)), *parts]),
            middle=np.concatenate([np.zeros((0, 3)), *(tree[0] for tree in trees)]),
            half=np.concatenate([np.zeros((0, 3)), *(tree[1] for tree in trees)]),
            child=joined(2, nodes), leaf=joined(3, first), root=nodes[:-1], first=first,
        )  # fmt: skip

    @property
    def parts(self) -> int:
        """How many."""
        return len(self.root)

    def least(
        self, solids: Solid, *, over_all: bool, within: float = np.inf, tolerance: float = TOLERANCE,
        at_once: int | None = None, watch: Watch | None = None, compiled: bool | None = None,
    ) -> Least:  # fmt: skip
        """The least signed distance of each part: from the nearest of all solids (parts,), or from each of them.

        over_all : True gives pools (parts,), False (solids x parts,), the parts of the first solid first
        within   : what is no nearer than this does not matter; its pool then says this distance, and solid -1
        compiled : whether by the compiled loop, for capsules and solids with a Barrel section; left out: where it pays
                   and is there
        """
        if compiled is None:
            compiled = pays_to_compile(len(self.triangles))
        if compiled and isinstance(solids, Capsule):
            solids = solids.turned()
        compiled = compiled and isinstance(solids, Revolved) and isinstance(solids.section, Barrel)
        compiled = compiled and isinstance(solids, Revolved) and solids.section.reaches_axis
        best = Least.nothing(self.parts if over_all else solids.count * self.parts)
        best = replace(best, distance=np.minimum(best.distance, within))
        at_once = at_once or (COMPILED_AT_ONCE if compiled else AT_ONCE)
        for start in range(0, solids.count, at_once):
            if watch is not None:
                watch(start, solids.count)
            some = np.arange(start, min(start + at_once, solids.count))
            if compiled:
                best = self._compiled(solids, some, best, over_all, tolerance)
            else:
                best = self._search(solids, some, np.zeros_like(some) if over_all else some, best, tolerance)
        return best

    def _compiled(self, solids: Solid, some: Index, best: Least, over_all: bool, tolerance: float) -> Least:
        from coachwork.geometry.box_tree_kernel import search

        own = solids.take(some)
        assert isinstance(own, Revolved)
        assert isinstance(own.section, Barrel)
        names = ("outer", "half_width", "shoulder", "crown")
        params = np.stack([np.broadcast_to(getattr(own.section, name), some.size) for name in names], axis=-1)
        pools = np.arange(self.parts) if over_all else (some[:, None] * self.parts + np.arange(self.parts)).ravel()
        *found, lost = search(
            self.triangles, self.middle, self.half, self.child, self.leaf, self.root, np.ascontiguousarray(own.centre),
            np.ascontiguousarray(own.axis), params, over_all, best.distance[pools], tolerance,
        )  # fmt: skip
        if lost:
            raise NotConverged(f"{lost} pieces ran out of room")
        distance, point, gradient, which, piece = found
        new = which >= 0
        at = pools[new]
        merged = {field.name: getattr(best, field.name).copy() for field in fields(best)}
        values = (("distance", distance), ("point", point), ("gradient", gradient), ("solid", some[which]),
                  ("piece", piece), ("thickness", np.zeros_like(distance)))  # fmt: skip
        for name, value in values:
            merged[name][at] = value[new]
        return Least(**merged)

    def _search(self, solids: Solid, which: Index, group: Index, best: Least, tolerance: float) -> Least:
        node = np.tile(self.root, which.size)
        solid = np.repeat(which, self.parts)
        pool = np.repeat(group * self.parts, self.parts) + np.tile(np.arange(self.parts), which.size)
        best = self._plunge(solids, node, solid, pool, best)
        leaves: list[tuple[Index, Index, Index]] = []
        while node.size:
            own = solids.take(solid)
            seen = own.signed(self.middle[node])
            keep = own.below_box(seen, self.half[node]) < best.distance[pool] - tolerance
            node, solid, pool = node[keep], solid[keep], pool[keep]
            end = self.child[node] < 0
            leaves.append((node[end], solid[end], pool[end]))
            node, solid, pool = node[~end], solid[~end], pool[~end]
            node = (self.child[node][:, None] + np.arange(2)).ravel()
            solid, pool = np.repeat(solid, 2), np.repeat(pool, 2)
        node, solid, pool = (np.concatenate(column) for column in zip(*leaves, strict=True))
        return least(solids, self._rows(node, solid, pool), best, tolerance=tolerance)

    def _plunge(self, solids: Solid, node: Index, solid: Index, pool: Index, best: Least) -> Least:
        """A good first guess: down each tree towards the nearer box; the nearest corner met in the end."""
        while (self.child[node] >= 0).any():
            inner = self.child[node] >= 0
            at, whose = self.child[node[inner]], solid[inner]
            own = solids.take(whose)
            one, other = (own.below_box(own.signed(self.middle[n]), self.half[n]) for n in (at, at + 1))
            node = node.copy()
            node[inner] = np.where(one <= other, at, at + 1)
        rows = self._rows(node, solid, pool)
        own = solids.take(rows.solid)
        for corner in range(3):
            seen = own.signed(rows.corners[:, corner])
            best = best.better(seen, rows.pool, rows.solid, rows.piece, rows.thickness)
        return best

    def _rows(self, node: Index, solid: Index, pool: Index) -> Rows:
        piece = self.leaf[node].ravel()
        return Rows(
            corners=self.triangles[piece], solid=np.repeat(solid, LEAF), piece=piece, pool=np.repeat(pool, LEAF),
            thickness=np.zeros(piece.size),
        )  # fmt: skip


_Tree = tuple[Array, Array, Index, Index]
_KEPT: dict[bytes, tuple[int, _Tree]] = {}  # with how many triangles each is over
WORTH_KEEPING = 1_000  # triangles
MOST_KEPT = 500_000  # triangles in all; 100,000 take some 10 MB


def _kept_tree(triangles: Array) -> _Tree:
    """A part's tree is kept: a scan's or a made part's is asked for at every wheel, and with every edit."""
    if len(triangles) < WORTH_KEEPING:
        return _tree(triangles)
    key = hashlib.blake2b(triangles.tobytes()).digest()
    if key not in _KEPT:
        while _KEPT and sum(count for count, _ in _KEPT.values()) + len(triangles) > MOST_KEPT:
            del _KEPT[next(iter(_KEPT))]
        _KEPT[key] = len(triangles), _tree(triangles)
    return _KEPT[key][1]


def _tree(triangles: Array) -> _Tree:
    """Middles, half-widths, children and leaves of one part's tree, its root first."""
    if not len(triangles):
        raise ValueError("a part without triangles has no distance from anything")
    depth = max(0, int(np.ceil(np.log2(len(triangles) / LEAF))))
    one, two, three = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    least_corner, most_corner = np.minimum(np.minimum(one, two), three), np.maximum(np.maximum(one, two), three)
    middles = np.ascontiguousarray((one + two + three).T)  # coordinate by coordinate: three times as fast to look over
    order = np.sort(np.resize(np.arange(len(triangles)), LEAF << depth))  # repeated triangles side by side
    if pays_to_compile(len(triangles)):
        from coachwork.geometry.box_tree_kernel import split

        split(middles, order, depth)
        order = order.reshape(-1, LEAF)
    else:
        order = _split(middles, order[None, :], depth)
    low = least_corner[order[:, 0]]
    high = most_corner[order[:, 0]]
    for slot in range(1, order.shape[1]):
        low, high = np.minimum(low, least_corner[order[:, slot]]), np.maximum(high, most_corner[order[:, slot]])
    levels = [(low, high)]
    for _ in range(depth):
        low, high = np.minimum(low[::2], low[1::2]), np.maximum(high[::2], high[1::2])
        levels.insert(0, (low, high))
    lows, highs = (np.concatenate([level[i] for level in levels]) for i in (0, 1))
    starts = np.r_[0, np.cumsum([len(level[0]) for level in levels])]
    child = np.full(len(lows), -1, dtype=np.intp)
    for (start, end), below in zip(pairwise(starts[:-1]), starts[1:], strict=False):
        child[start:end] = below + 2 * np.arange(end - start)
    leaf = np.full((len(lows), LEAF), -1, dtype=np.intp)
    leaf[starts[-2] :] = order
    return (lows + highs) / 2, (highs - lows) / 2, child, leaf


def _split(middles: Array, order: Index, depth: int) -> Index:
    """The kernel's `split` without a compiler, all groups of a level at once; a few times as slow."""
    for _ in range(depth):
        points = middles[:, order]
        # Many short rows: numpy is quick along an axis only where the other one is the last and long.
        side_by_side = points if order.shape[1] > len(order) else np.ascontiguousarray(points.transpose(0, 2, 1))
        axis = 2 if side_by_side is points else 1
        longest = (side_by_side.max(axis=axis) - side_by_side.min(axis=axis)).argmax(axis=0)
        keys = np.take_along_axis(points, longest[None, :, None], axis=0)[0]
        half = order.shape[1] // 2
        order = np.take_along_axis(order, np.argpartition(keys, half, axis=1), axis=1).reshape(-1, half)
    return order
