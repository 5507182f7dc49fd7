"""How much room is left at every place of what stands still: how near anything that moves comes there, over all poses.

The verdicts tell the nearest place of each pair; this is for looking at all the others. The same things against the
same, by the same distances, at the corners of the surface; a large piece is divided first. Poses are the grid's, and
where it is close a finer grid round those that are nearest there.

Only surface that something can come at is told: of a shell with two skins the inner one. The outer one lies a wall's
thickness further away, and would promise room that is not there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.point_tree import Nearest, PointTree
from coachwork.geometry.vectors import Array, length
from coachwork.scans.mesh import Mesh
from coachwork.scans.rays import Rays
from coachwork.studies.clearance.corner_scene import SIDES
from coachwork.studies.clearance.room_round import MOST_FINER, RingsAt, finer_grid, rings_round
from coachwork.studies.clearance.scene import ENDS, Scene
from coachwork.studies.clearance.search import FAR_MM, NEAR_MM, Placed, shares_for
from coachwork.studies.clearance.shapes import Rod
from coachwork.studies.parts import is_missing
from coachwork.studies.watch import UNWATCHED, Watch

PIECE_MM = 3.0  # a longer edge is halved: over a flat piece so long a gap of 5 mm changes by 0.2 mm at most
JUST_OFF_MM = 0.05  # from where it is looked whether something of the same thing lies before it


@dataclass(frozen=True, eq=False, kw_only=True)
class RoomAt:
    """Surface of one thing that something comes near to; chassis frame, mm.

    room_mm : (n,), negative: how deep inside; NaN where nothing comes within FAR_MM
    moving  : (n,), which of `Room.moving`; -1 where nothing
    share   : (n, 3), the pose, in shares of travel, lock and a live axle's other wheel
    """

    key: str
    name: str
    vertices: Array  # (n, 3)
    faces: NDArray[np.int64]  # (m, 3)
    room_mm: Array
    moving: NDArray[np.int64]
    share: Array


@dataclass(frozen=True, eq=False, kw_only=True)
class Room:
    """All of it: `at` what stands, to the nearest of `moving`; `round` the tyres, to the nearest of `standing`."""

    moving: tuple[Placed, ...]
    at: tuple[RoomAt, ...]
    standing: tuple[Placed, ...]
    round: tuple[RingsAt, ...]


def room(scene: Scene, watch: Watch = UNWATCHED) -> Room:
    """Of a scene of plain numbers. Raises Unwanted when the watch says so."""
    standing = [] if is_missing(scene.standing) else list(scene.standing)
    standing += [*scene.made, *([] if is_missing(scene.scan) else [scene.scan])]
    if is_missing(scene.scan):
        standing += [arch for end in scene.ends.values() if not is_missing(end.arches) for arch in end.arches]
    moving = tuple(_moving(scene))
    surfaces = [_surface(one) for one in standing]
    at = [_at(one, moving, *surface, watch) for one, surface in zip(standing, surfaces, strict=True)]
    rings = []
    for end, side in product(ENDS, SIDES):
        tyre, ring = scene.ends[end].sides[side].tyre, scene.ends[end].sides[side].ring
        if not is_missing(tyre) and not is_missing(ring):
            met = [(i, surfaces[i][0]) for i, one in enumerate(standing) if _meet(tyre, one)]
            rings.append(rings_round(tyre, ring, met, watch))
    return Room(
        moving=moving, at=tuple(one for one in at if one is not None), standing=tuple(standing),
        round=tuple(one for one in rings if one is not None),
    )  # fmt: skip


def _moving(scene: Scene) -> Iterator[Placed]:
    """Each thing once: of the tyre the solid that the verdicts count with, of the rim nothing, for it is inside."""
    for end, side in product(ENDS, SIDES):
        corner = scene.ends[end].sides[side]
        for part in (corner.tyre, corner.shaft, corner.damper, corner.links, corner.steering, corner.bar, corner.parts):
            if is_missing(part) or part is None or (part is corner.shaft and scene.ends[end].live):
                continue
            yield from part if isinstance(part, tuple) else (part,)


def _meet(one: Placed, standing: Placed) -> bool:
    """Whether the study holds the two against each other."""
    kind = standing.thing.kind
    if kind == "shell" and standing.key != "shell":  # a measured arch: the tyres' own side alone
        return one.thing.kind == "tyre" and one.corner is not None and one.corner.name in standing.key
    return one.thing.kind not in standing.thing.may_touch and kind not in one.thing.may_touch


def _at(
    standing: Placed, moving: tuple[Placed, ...], vertices: Array, faces: NDArray[np.int64], watch: Watch
) -> RoomAt | None:
    if not faces.size:
        return None
    tree = PointTree(vertices)
    best = np.full(len(vertices), np.inf)
    whose = np.full(len(vertices), -1, dtype=np.int64)
    share, toward = np.zeros((len(vertices), 3)), np.zeros((len(vertices), 3))
    for number, one in enumerate(moving):
        if not _meet(one, standing):
            continue
        watch.look(f"{one.name} at {standing.name}")
        for found, shares in _over_poses(one, tree, watch):
            better = np.flatnonzero(found.distance < best)
            best[better], whose[better], toward[better] = found.distance[better], number, found.toward[better]
            share[better] = shares[found.solid[better]]
    near = np.isfinite(best)
    seen = near[faces].any(axis=1) & ~_covered(vertices, faces, best, toward, near)[faces].all(axis=1)
    if not seen.any():
        return None
    kept, faces = np.unique(faces[seen], return_inverse=True)
    return RoomAt(
        key=standing.key, name=standing.name, vertices=vertices[kept], faces=faces.reshape(-1, 3),
        room_mm=np.where(near, best, np.nan)[kept], moving=whose[kept], share=share[kept],
    )  # fmt: skip


def _over_poses(one: Placed, tree: PointTree, watch: Watch) -> Iterator[tuple[Nearest, Array]]:
    """Of each shape: over the grid, then round the poses in which it is nearest where it is near."""
    assert one.corner is not None
    points = tree.points
    shares = shares_for(one.corner, one.thing.on | {"chassis"})
    for shape in one.thing.shapes:
        found = tree.nearest(shape.solid(one.bodies(shares)), within=FAR_MM, watch=lambda *_: watch.look())
        yield found, shares
        close = np.flatnonzero(found.distance < NEAR_MM)
        if not close.size or len(shares) == 1:
            continue
        poses, votes = np.unique(found.solid[close], return_counts=True)
        finer = finer_grid(shares, poses[np.argsort(-votes, kind="stable")[:MOST_FINER]])
        again = PointTree(points[close]).nearest(
            shape.solid(one.bodies(finer)), within=NEAR_MM, watch=lambda *_: watch.look()
        )
        distance, solid = np.full(len(points), np.inf), np.full(len(points), -1, dtype=np.intp)
        toward = np.zeros((len(points), 3))
        distance[close], solid[close], toward[close] = again.distance, again.solid, again.toward
        yield Nearest(distance=distance, solid=solid, toward=toward), finer


def _surface(standing: Placed) -> tuple[Array, NDArray[np.int64]]:
    """Triangles of all its shapes, none with an edge longer than PIECE_MM, their corners joined."""
    from trimesh.remesh import subdivide_to_size

    assert standing.still is not None
    corners = []
    for shape in standing.thing.shapes:
        pieces, thickness = shape.pieces(standing.still)
        corners.append(_round(pieces[0, 0], float(thickness[0, 0])) if isinstance(shape, Rod) else pieces[0])
    triangles = np.concatenate(corners)
    if not triangles.size:
        return np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)
    vertices, faces = subdivide_to_size(  # type: ignore[no-untyped-call]
        triangles.reshape(-1, 3), np.arange(3 * len(triangles)).reshape(-1, 3), PIECE_MM
    )
    _, first, joined = np.unique(np.round(vertices, 4), axis=0, return_index=True, return_inverse=True)
    return np.asarray(vertices[first]), np.asarray(joined.reshape(-1)[faces], dtype=np.int64)


def _round(line: Array, radius: float) -> Array:
    """A rod's surface in facets, without its ends."""
    way = line[1] - line[0]
    if float(length(way)) < 1e-6:
        return np.zeros((0, 3, 3))
    way = way / length(way)
    aside = np.cross(way, np.eye(3)[np.abs(way).argmin()])
    aside /= length(aside)
    angle = 2 * np.pi * np.arange(17)[:, None] / 16
    ring = radius * (np.cos(angle) * aside + np.sin(angle) * np.cross(way, aside))
    one, other = line[0] + ring, line[1] + ring
    return np.concatenate(
        [np.stack([one[:-1], other[:-1], other[1:]], axis=1), np.stack([one[:-1], other[1:], one[1:]], axis=1)]
    )


def _covered(
    vertices: Array, faces: NDArray[np.int64], distance: Array, toward: Array, near: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Whether other surface of the same thing lies before a corner, seen from what comes nearest to it."""
    covered = np.zeros(len(vertices), dtype=bool)
    outside = np.flatnonzero(near & (distance > JUST_OFF_MM))
    if outside.size:
        way = toward[outside]
        met = Rays(Mesh(vertices=vertices, faces=faces)).distances(vertices[outside] + JUST_OFF_MM * way, way)
        covered[outside] = met < distance[outside] - JUST_OFF_MM  # no hit is NaN, and not less
    return covered
