"""The least signed distance between a thing that moves and another, over all poses: where, and in which pose.

Between two poses of the grid lies a smaller distance; so the grid is laid again, finer and finer, around the worst pose
of whatever is nearly as bad as the worst. All of it is for the plain numbers. With samples nothing is searched: the
place and the pose found for the plain numbers are looked at again (the least distance changes, to first order, as the
distance at its own place does).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import product

import numpy as np

from coachwork.geometry.box_tree import BoxTree
from coachwork.geometry.least_distance import Least, between
from coachwork.geometry.solids import Solid
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.corners import FROM_LOCK, FROM_TRAVEL, LOCK, OTHER, TRAVEL, Corner
from coachwork.studies.clearance.shapes import Bodies
from coachwork.studies.clearance.things import Thing
from coachwork.studies.memory import Memory
from coachwork.studies.watch import UNWATCHED, Watch

FAR_MM = 12.0  # what stays further away is not told apart, unless there is nothing nearer
NEAR_MM = 3.0  # what stays further away is not looked at more finely
ROUNDS = 2
ASIDE = (0.05, 0.5)  # of the way from a spot to its piece's corners, see `again`
STEPS = np.array([1 / 8, 1 / 12, 1 / 4])  # of the grids of travel, lock, and a live axle's other wheel
FIXED = ("chassis", "shell")


@dataclass(frozen=True, eq=False, kw_only=True)
class Placed:
    """A thing on a wheel's corner, or one that stands still."""

    key: str  # stable, such as "front left tyre"
    name: str  # in the builder's words
    thing: Thing
    corner: Corner | None = None
    still: Bodies | None = None
    _boxes: dict[tuple[int, bytes], tuple[Array, Array]] = field(default_factory=dict, compare=False)

    def bodies(self, shares: Array) -> Bodies:
        """Where its bodies are."""
        if self.still is not None:
            return self.still
        assert self.corner is not None
        return self.corner.bodies(shares)

    def box(self, shape: int, shares: Array) -> tuple[Array, Array]:
        """Corners of a box along the axes, low and high (3,), round one of its shapes in all these poses."""
        key = shape, b"" if self.still is not None else shares.tobytes()
        if key not in self._boxes:
            middle, reach = self.thing.shapes[shape].ball(self.bodies(shares))
            low, high = middle - reach[:, None], middle + reach[:, None]
            self._boxes[key] = np.fmin.reduce(low), np.fmax.reduce(high)  # but for poses that do not exist
        return self._boxes[key]


@dataclass(frozen=True, eq=False, kw_only=True)
class Spot:
    """Where two things come nearest, told so that it can be found again with other numbers."""

    solid: str  # the key of the thing searched from
    solid_shape: int
    surface: str  # the key of the thing whose surface was searched
    surface_shape: int
    piece: int
    weights: tuple[float, ...]  # of the piece's corners
    share: tuple[float, float, float]  # the pose


@dataclass(frozen=True, eq=False, kw_only=True)
class Found:
    """The least distance of one pair, plain numbers."""

    distance: float
    on_solid: Array  # (3,)
    on_surface: Array  # (3,)
    spot: Spot


Search = Callable[[Array], Found | None]  # from shares (poses, 3); None: nothing within the limit


@dataclass(frozen=True, eq=False, kw_only=True)
class Pair:
    """Two things, the least distance between them on the grid of poses, and how to look again on another grid."""

    moving: Placed
    other: Placed
    found: Found
    search: Search
    shares: Array

    def finer(self) -> Pair:
        """The least over finer and finer grids around the worst pose."""
        best, steps = self.found, np.where(self.shares.max(axis=0) > self.shares.min(axis=0), STEPS, 0.0)
        for _ in range(ROUNDS if steps.any() else 0):
            offsets = [np.linspace(-1, 1, 5) * step if step else np.zeros(1) for step in steps]
            around = np.array(list(product(*offsets))) + best.spot.share
            found = self.search(np.unique(np.clip(around, -1.0, 1.0), axis=0))
            best = found if found is not None and found.distance < best.distance else best
            steps = steps / 3
        return replace(self, found=best)


def shares_for(corner: Corner, bodies: frozenset[str]) -> Array:
    """The poses that matter to what hangs on these bodies."""
    grid: Array = corner.grid
    moving = bodies.difference(FIXED)
    steered = bool(grid[:, LOCK].any())
    as_one = {"carrier", "knuckle"} if not steered else set()
    if (len(moving) == 1 or moving <= as_one) and moving == bodies:  # both on one body: nothing moves between them
        return np.asarray(grid[np.abs(grid).sum(axis=1).argmin()][None])
    if moving <= {"carrier", "knuckle"} and moving == bodies:  # they only turn about the kingpin, nearly
        return grid[np.isin(grid[:, TRAVEL], (-1.0, 0.0, 1.0))]
    if moving <= set(FROM_TRAVEL):
        return grid[np.abs(grid[:, LOCK]) < 1e-9]
    if moving <= set(FROM_LOCK):
        return grid[(np.abs(grid[:, TRAVEL]) < 1e-9) & (np.abs(grid[:, OTHER]) < 1e-9)]
    return grid


def pair(
    moving: Placed, other: Placed, memory: Memory, *, within: float = np.inf, compiled: bool = False
) -> list[Pair]:
    """The worst of the shapes of two things, or nothing where all stay further away than `within`.

    compiled : whether by the compiled loop, which takes half a second to load
    """
    corner = moving.corner or other.corner
    assert corner is not None
    best: Pair | None = None
    for i, shape in enumerate(moving.thing.shapes):
        for j, against in enumerate(other.thing.shapes):
            shares = shares_for(corner, frozenset((*shape.on, *against.on)))
            limit = within if best is None else min(within, best.found.distance)
            if not len(shares) or _between_boxes(moving.box(i, shares), other.box(j, shares)) >= limit:
                continue
            # Over the surface that has fewer pieces; the other one is the solid, and exact.
            places = (moving, i, other, j) if shape.facets > against.facets else (other, j, moving, i)
            search = partial(_least, *places, memory, compiled)
            if (found := search(shares, within=limit)) is not None:
                best = Pair(moving=moving, other=other, found=found, search=search, shares=shares)
    return [] if best is None else [best]


def _between_boxes(one: tuple[Array, Array], other: tuple[Array, Array]) -> float:
    """How far two boxes along the axes (low, high) are apart; nought where they meet."""
    off = np.maximum(np.maximum(one[0] - other[1], other[0] - one[1]), 0.0)
    return float(np.sqrt(off @ off))


Candidate = Callable[[float], list[Pair]]  # from a distance: the pairs that come nearer


def near_or_nearest(candidates: Sequence[Candidate]) -> list[Pair]:
    """All pairs nearer than FAR_MM; where there are none, the nearest alone."""
    return [pair for look in candidates for pair in look(FAR_MM)] or nearest_alone(candidates)


def nearest_alone(candidates: Sequence[Candidate]) -> list[Pair]:
    """The nearest pair, however far apart."""
    best: list[Pair] = []
    for look in candidates:
        found = look(best[0].found.distance if best else np.inf)
        best = [min(found, key=lambda one: one.found.distance)] if found else best
    return best


def _least(
    first: Placed, i: int, second: Placed, j: int, memory: Memory, compiled: bool, shares: Array, *,
    within: float = np.inf,
) -> Found | None:  # fmt: skip
    shape, against = first.thing.shapes[i], second.thing.shapes[j]
    their, count = second.bodies(shares), len(shares)
    solid = _spread(shape.solid(first.bodies(shares)), count)
    middle, reach = against.ball(their)
    inside = solid.signed(np.broadcast_to(middle, (count, 3))).distance
    # The middle belongs to the shape, so the least lies no higher than there, and no lower than its reach below.
    keep = np.flatnonzero(inside - reach <= min(float(np.nanmin(inside)), within))
    if not keep.size:
        return None
    corners, thickness = against.pieces(their)
    corners = np.broadcast_to(corners, (count, *corners.shape[1:]))[keep]
    thickness = np.broadcast_to(thickness, (count, thickness.shape[1]))[keep]
    kept = solid.take(keep)

    def search() -> Least:
        if compiled:
            from coachwork.geometry.least_compiled import least_of_all

            return least_of_all(kept, corners, thickness)
        return between(kept, corners, thickness=thickness, pool=np.zeros(len(keep), dtype=np.intp), pools=1)

    least = memory.once(f"{first.key} {i}, {second.key} {j}", (kept, corners, thickness, compiled), search)
    if least.distance[0] >= within:
        return None
    pose, piece = int(least.solid[0]), int(least.piece[0])
    spot = Spot(
        solid=first.key, solid_shape=i, surface=second.key, surface_shape=j, piece=piece,
        weights=weights(corners[pose, piece], least.point[0]), share=tuple(shares[keep[pose]]),
    )  # fmt: skip
    return Found(distance=float(least.distance[0]), on_solid=least.on_solid[0], on_surface=least.on_piece[0], spot=spot)


def _spread(solid: Solid, count: int) -> Solid:
    """A solid that stands still, once for each pose."""
    return solid if solid.count == count else solid.take(np.zeros(count, dtype=np.intp))


def weights(corners: Array, point: Array) -> tuple[float, ...]:
    """Shares of a piece's corners (k, 3) that make a point of it."""
    if len(corners) == 1:
        return (1.0,)
    edges = (corners[1:] - corners[0]).T
    shares = np.linalg.lstsq(edges, point - corners[0], rcond=None)[0]
    return (1.0 - float(shares.sum()), *(float(share) for share in shares))


@dataclass(frozen=True, eq=False, kw_only=True)
class Surroundings:
    """What stands still and is made of triangles, as one tree: a part for each shape of a thing, in order."""

    tree: BoxTree
    parts: tuple[tuple[Placed, int], ...]
    memory: Memory = field(default_factory=Memory)
    watch: Watch = UNWATCHED

    @classmethod
    def of(cls, things: Sequence[Placed], memory: Memory, watch: Watch = UNWATCHED, *, name: str) -> Surroundings:
        """Of things that stand still; shapes that are no triangles (rods) are left out."""

        def laid() -> tuple[BoxTree, tuple[tuple[Placed, int], ...]]:
            parts, triangles = [], []
            for placed in things:
                assert placed.still is not None
                for i, shape in enumerate(placed.thing.shapes):
                    corners, _ = shape.pieces(placed.still)
                    if corners.shape[2] == 3:
                        parts.append((placed, i))
                        triangles.append(corners[0])
            return BoxTree.over(triangles), tuple(parts)

        tree, parts = memory.once(f"tree of {name}", (tuple(things),), laid)
        return cls(tree=tree, parts=parts, memory=memory, watch=watch)

    def only(self, parts: Sequence[int]) -> Surroundings:
        """Some of the parts, the same tree."""
        chosen = np.asarray(parts, dtype=np.intp)
        return replace(
            self, tree=replace(self.tree, root=self.tree.root[chosen]), parts=tuple(self.parts[i] for i in chosen)
        )

    def around(self, solid: Placed, *, within: float = np.inf) -> list[Pair]:
        """The least distance of each part that comes nearer than `within` to a thing that moves, or stands itself.

        Each of the thing's shapes is searched once, over all poses and parts together.
        """
        shares = np.zeros((1, 3)) if solid.corner is None else shares_for(solid.corner, solid.thing.on | {"chassis"})
        best: dict[int, Pair] = {}
        for shape in range(len(solid.thing.shapes) if self.parts and len(shares) else 0):
            for part, found in enumerate(self._from(solid, shape, shares, within=within)):
                if found is not None and (part not in best or found.distance < best[part].found.distance):
                    again = partial(_first, self.only([part]), solid, shape)
                    best[part] = Pair(moving=solid, other=self.parts[part][0], found=found, search=again, shares=shares)
        return [best[part] for part in sorted(best)]

    def _from(self, solid: Placed, shape: int, shares: Array, *, within: float) -> list[Found | None]:
        own = solid.thing.shapes[shape].solid(solid.bodies(shares))

        def look(done: int, of: int) -> None:
            self.watch.look(f"{solid.name}, {done} of {of} poses")

        least = self.memory.once(
            f"{solid.key} {shape}", (own, self.tree, within),
            lambda: self.tree.least(own, over_all=True, within=within, watch=look),
        )  # fmt: skip
        return [
            None if least.solid[number] < 0 else self._read(least, number, solid, shape, shares)
            for number in range(len(self.parts))
        ]

    def _read(self, least: Least, number: int, solid: Placed, shape: int, shares: Array) -> Found:
        index, (part, part_shape) = int(least.piece[number]), self.parts[number]
        first = int(np.searchsorted(self.tree.first, index, side="right")) - 1
        spot = Spot(
            solid=solid.key, solid_shape=shape, surface=part.key, surface_shape=part_shape,
            piece=index - int(self.tree.first[first]),
            weights=weights(self.tree.triangles[index], least.point[number]),
            share=tuple(shares[int(least.solid[number])]),
        )  # fmt: skip
        return Found(
            distance=float(least.distance[number]), on_solid=least.on_solid[number],
            on_surface=least.on_piece[number], spot=spot,
        )  # fmt: skip


def _first(alone: Surroundings, solid: Placed, shape: int, shares: Array) -> Found | None:
    return alone._from(solid, shape, shares, within=np.inf)[0]


def again(spot: Spot, placed: Callable[[str], Placed]) -> Array:
    """The distance at a spot found earlier, with these numbers: (samples,). NaN where the pose does not exist.

    A few other points of the same piece are looked at, too: where a flat face is entered all along, the place that was
    found is one of many equally deep ones, and perhaps the one that another number leaves alone.
    """
    shares = np.array([spot.share])
    solid, surface = placed(spot.solid), placed(spot.surface)
    own, their = solid.bodies(shares), surface.bodies(shares)
    shape = solid.thing.shapes[spot.solid_shape].solid(own)
    corners, thickness = surface.thing.shapes[spot.surface_shape].piece(their, spot.piece)
    here = np.array(spot.weights)
    near = [here, *((1 - share) * here + share * corner for share in ASIDE for corner in np.eye(here.size))]
    count = max(shape.count, len(corners))
    shape = _spread(shape, count)
    with np.errstate(invalid="ignore"):
        distances = [
            shape.signed(np.broadcast_to(np.einsum("nkj,k->nj", corners, point), (count, 3))).distance for point in near
        ]
        return np.asarray(np.min(distances, axis=0) - thickness)
