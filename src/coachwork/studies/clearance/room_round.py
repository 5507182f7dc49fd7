"""How much room is left all round a tyre: of every ring of its section, how near it ever comes to what stands.

A wheel turns, so every place of the tread comes to every height: what counts is the ring that it lies on. It is the
other side of `room`: the same corners of what stands, the same distances, each told to the ring that is nearest to it.
A ring that is nearest to nothing within FAR_MM has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from coachwork.geometry.outlines import divided, outline_of
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.search import FAR_MM, NEAR_MM, STEPS, Placed, shares_for
from coachwork.studies.clearance.shapes import Turning
from coachwork.studies.watch import Watch

RING_MM = 1.5  # how wide a ring is at most
MOST_FINER = 40  # poses of one moving thing that a finer grid is laid round


@dataclass(frozen=True, eq=False, kw_only=True)
class RingsAt:
    """Of one tyre, (n,) rings.

    rides    : key of the thing that is drawn, on which they lie
    profile  : (n, 2), radius and height along the axis
    room_mm  : negative: how deep something is inside; NaN where nothing comes within FAR_MM
    standing : which of `Room.standing`; -1 where nothing
    share    : (n, 3), the pose, in shares of travel, lock and a live axle's other wheel
    """

    key: str
    name: str
    rides: str
    profile: Array
    room_mm: Array
    standing: NDArray[np.int64]
    share: Array


def rings_round(tyre: Placed, ring: Placed, near: Sequence[tuple[int, Array]], watch: Watch) -> RingsAt | None:
    """Of a tyre with its wheel filled in, drawn as a ring; None where it comes near nothing. Raises Unwanted.

    near : number and corners (n, 3) of each thing that stands and is not to be touched
    """
    assert tyre.corner is not None
    (shape,), (drawn,) = tyre.thing.shapes, ring.thing.shapes
    assert isinstance(shape, Turning)
    assert isinstance(drawn, Turning)
    profile = divided(outline_of(drawn.section), RING_MM)
    best = _Best(profile)
    shares = shares_for(tyre.corner, tyre.thing.on | {"chassis"})
    trees = [(number, points, cKDTree(points)) for number, points in near if len(points)]
    _look(best, tyre, shape, shares, trees, watch)
    close = np.unique(best.pose[best.room < NEAR_MM])[:MOST_FINER]
    best.keep(shares)
    if close.size and len(shares) > 1:
        finer = finer_grid(shares, close)
        _look(best, tyre, shape, finer, trees, watch)
        best.keep(finer)
    if not np.isfinite(best.room).any():
        return None
    return RingsAt(
        key=tyre.key, name=tyre.name, rides=ring.key, profile=profile,
        room_mm=np.where(np.isfinite(best.room), best.room, np.nan), standing=best.standing, share=best.share,
    )  # fmt: skip


def finer_grid(shares: Array, poses: NDArray[np.intp]) -> Array:
    """Poses at half and quarter steps round some of a grid's, (m, 3)."""
    steps = np.where(np.ptp(shares, axis=0) > 0, STEPS, 0.0)
    offsets = np.array(list(product(*(np.linspace(-1, 1, 5) * step if step else np.zeros(1) for step in steps))))
    return np.unique(np.clip((shares[poses][:, None] + offsets / 2).reshape(-1, 3), -1.0, 1.0), axis=0)


class _Best:
    """The least of every ring so far."""

    def __init__(self, profile: Array) -> None:
        self.tree = cKDTree(profile)
        self.room = np.full(len(profile), np.inf)
        self.standing = np.full(len(profile), -1, dtype=np.int64)
        self.pose = np.full(len(profile), -1, dtype=np.intp)  # of the grid at hand; -1: of an earlier one
        self.share = np.zeros((len(profile), 3))

    def take(self, rings: NDArray[np.intp], room: Array, number: int, pose: int) -> None:
        """Where it is less."""
        better = np.flatnonzero(room < self.room[rings])
        better = better[np.argsort(-room[better], kind="stable")]  # of two for one ring the lesser is written last
        which = rings[better]
        self.room[which], self.standing[which], self.pose[which] = room[better], number, pose

    def keep(self, shares: Array) -> None:
        """The poses that were found on this grid."""
        fresh = self.pose >= 0
        self.share[fresh] = shares[self.pose[fresh]]
        self.pose[:] = -1


def _look(
    best: _Best, tyre: Placed, shape: Turning, shares: Array, trees: Iterable[tuple[int, Array, cKDTree]], watch: Watch
) -> None:
    solids = shape.solid(tyre.bodies(shares))
    reach = float(np.linalg.norm(best.tree.data, axis=1).max()) + FAR_MM
    for number, points, tree in trees:
        watch.look(f"{tyre.name}, all round")
        for pose, its in _in_reach(tree, solids.centre, reach):
            where = points[its]
            seen = solids.take(np.full(len(its), pose)).signed(where)
            near = seen.distance < FAR_MM
            if not near.any():
                continue
            off = where[near] - seen.distance[near, None] * seen.gradient[near] - solids.centre[pose]
            height = off @ solids.axis[pose]
            radius = np.linalg.norm(off - height[:, None] * solids.axis[pose], axis=1)
            off_by, rings = best.tree.query(np.stack([radius, height], axis=-1))
            on = off_by <= RING_MM  # else it is the wheel inside the tyre that is nearest
            best.take(np.asarray(rings)[on], seen.distance[near][on], number, pose)


def _in_reach(tree: cKDTree, centres: Array, reach: float) -> Iterator[tuple[int, NDArray[np.intp]]]:
    for pose, its in enumerate(tree.query_ball_point(centres, reach)):
        if its:
            yield pose, np.array(its, dtype=np.intp)
