"""The space that a moving part sweeps over all its poses, as one closed mesh: for drawings, papers, and stowage.

Between neighbouring poses of a grid the part's convex shapes are wrapped together, and all that is united. So the mesh
holds every pose in between but for the arc over a chord, which `pad_mm` is there for; it is a little too large where a
shape turns within one step, never too small by more than the arc.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.sections import Barrel
from coachwork.geometry.vectors import Array, cross, length, unit
from coachwork.studies.clearance.corners import LOCK, OTHER, TRAVEL
from coachwork.studies.clearance.search import Placed, shares_for
from coachwork.studies.clearance.shapes import Bodies, Box, Cylinder, Rod, Shape, Turning

AROUND = 48  # points of a circle; they lie outside it by 1 part in 500, so that the facets hold it
ALONG = 5  # points of a quarter of a rounding
IN_BALL = np.cos(np.pi / 24) ** 2  # the ball that the hull of points holds, 15 deg apart on one of radius one
HAIR_MM = 1e-6  # of rounding
STEPS = (9, 13, 5)  # poses of travel, lock, a live axle's other wheel: 1 mm and 5 deg apart


@dataclass(frozen=True, eq=False, kw_only=True)
class Swept:
    """A closed mesh in the chassis frame, mm."""

    name: str
    vertices: Array  # (n, 3)
    faces: NDArray[np.int64]  # (m, 3), wound so that normals point out

    @property
    def volume_mm3(self) -> float:
        """Enclosed."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return float(np.einsum("ni,ni->n", a, cross(b, c)).sum() / 6)


def swept(part: Placed, *, pad_mm: float = 0.05) -> Swept:
    """What a part that moves sweeps over travel and lock; a part that stands still as it is."""
    from manifold3d import Manifold, OpType

    grid = _grid(part)
    poses = part.bodies(grid.reshape(-1, 3))
    pieces = []
    for shape in part.thing.shapes:
        points = _points(shape, poses, pad_mm).reshape(*grid.shape[:-1], -1, 3)
        pieces += [Manifold.hull_points(np.ascontiguousarray(cell)) for cell in _cells(points)]
    whole = Manifold.batch_boolean(pieces, OpType.Add)
    mesh = whole.to_mesh64()
    vertices, faces = np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts).astype(np.int64)
    return Swept(name=part.name, vertices=vertices, faces=faces)


def cloud(part: Placed, *, low: Array, high: Array, pad_mm: float = 0.2, every_mm: float = 2.0) -> Iterator[Array]:
    """Points (n, 3) all over each of a part's shapes in every pose of the grid; a part that stands still, too.

    Along the vehicle they lie no further apart than `every_mm`, nearly. Only of shapes that come between the corners
    `low` and `high` (3,). A rim is left out, as it is inside its tyre, and so is what only a mesh can tell.
    """
    poses = poses_of(part)
    for shape in part.thing.shapes:
        if not isinstance(shape, (Box, Cylinder, Rod, Turning)):
            continue
        least, most = span(shape, poses, pad_mm)
        if (most < low).any() or (least > high).any():
            continue
        points = _points(shape, poses, pad_mm)
        points = points[np.isfinite(points).all(axis=(1, 2))]
        axes = [points[..., axis] for axis in range(3)]  # each by itself: far faster than all three at once
        if not len(points) or any(at.max() < low[axis] or at.min() > high[axis] for axis, at in enumerate(axes)):
            continue
        if isinstance(shape, (Cylinder, Rod)):
            one, other = np.split(points, 2, axis=1)
            points = _between(one, other, every_mm).reshape(-1, 3)
        elif isinstance(shape, Turning):
            rings = points.reshape(-1, AROUND, 3)
            points = _between(rings, np.roll(rings, -1, axis=1), every_mm).reshape(-1, 3)
        yield points.reshape(-1, 3)


def span(shape: Shape, bodies: Bodies, pad_mm: float) -> tuple[Array, Array]:
    """Low and high corner of a box that holds all the points of a shape, in every pose that exists, (3,).

    In closed form, so that what comes near nothing need not be drawn: a disc of radius R, thick by 2 H, reaches
    R sqrt(1 - a^2) + H |a| along an axis of which its own has the share a.
    """
    pad = pad_mm + HAIR_MM
    match shape:
        case Rod():
            middles = np.stack([bodies.at(shape.body, shape.start), bodies.at(shape.other, shape.end)], axis=1)
            reach = ((shape.radius + pad) / IN_BALL)[:, None, None]
        case Box():
            edges = bodies.turn(shape.body, np.eye(3)[None])
            middles = bodies.at(shape.body, shape.middle)[:, None]
            reach = np.einsum("nkc,nk->nc", np.abs(edges), np.broadcast_to(shape.half + pad, (len(edges), 3)))[:, None]
        case Cylinder():
            middles = bodies.at(shape.body, (shape.start + shape.end) / 2)[:, None]
            along = bodies.turn(shape.body, unit(shape.end - shape.start))
            reach = _disc(along, shape.radius + pad, length(shape.end - shape.start) / 2 + pad)
        case Turning(section=Barrel() as section):
            middles, along = bodies.at(shape.body, shape.centre)[:, None], bodies.turn(shape.body, shape.axis)
            reach = _disc(along, section.outer + pad, section.half_width + pad)
        case _:
            raise TypeError(f"{type(shape).__name__} is not swept")
    low, high = middles - reach, middles + reach
    there = np.isfinite(middles).all(axis=(1, 2))
    if not there.any():
        return np.full(3, np.inf), np.full(3, -np.inf)
    return low[there].min(axis=(0, 1)), high[there].max(axis=(0, 1))


def _disc(axis: Array, radius: Array, half: Array) -> Array:
    across = np.sqrt(np.maximum(0.0, 1 - axis**2))
    reach = radius[:, None] * across / np.cos(np.pi / AROUND) + half[:, None] * np.abs(axis)
    return np.asarray(reach[:, None])


def poses_of(part: Placed) -> Bodies:
    """Where a part's bodies are in every pose of the grid."""
    return part.bodies(_grid(part).reshape(-1, 3))


def _between(one: Array, other: Array, every: float) -> Array:
    """Points and enough of those on the straight way from each to its fellow."""
    long = float(np.linalg.norm(one - other, axis=-1).max())
    shares = np.linspace(0.0, 1.0, 2 + int(long / every))
    return np.concatenate([one + share * (other - one) for share in shares], axis=1)


def _grid(part: Placed) -> Array:
    """Shares laid out as (travel, lock, other, 3); one long where the part does not depend on it."""
    if part.corner is None:
        return np.zeros((1, 1, 1, 3))
    used = shares_for(part.corner, part.thing.on | {"chassis"})
    axes = []
    for axis in (TRAVEL, LOCK, OTHER):
        low, high = float(used[:, axis].min()), float(used[:, axis].max())
        axes.append(np.linspace(low, high, STEPS[axis] if high > low else 1))
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)


def _cells(points: Array) -> list[Array]:
    """The points of every cell of neighbouring poses; cells with a pose that does not exist are left out."""
    spans = [list(pairwise(range(size))) or [(0, 0)] for size in points.shape[:3]]
    cells = []
    for travel, lock, other in product(*spans):
        cell = points[np.ix_(sorted(set(travel)), sorted(set(lock)), sorted(set(other)))].reshape(-1, 3)
        if np.isfinite(cell).all():
            cells.append(cell)
    return cells


def _points(shape: Shape, bodies: Bodies, pad: float) -> Array:
    """Points (n, k, 3) whose hull holds the convex shape, padded."""
    match shape:
        case Box():
            signs = np.array(list(product((-1.0, 1.0), repeat=3)))
            return bodies.at(shape.body, shape.middle[:, None] + (shape.half[:, None] + pad) * signs)
        case Cylinder():
            axis = unit(shape.end - shape.start)
            rings = [shape.start - pad * axis, shape.end + pad * axis]
            circle = _circle(axis) * (shape.radius[:, None, None] + pad)
            return bodies.at(shape.body, np.concatenate([ring[:, None] + circle for ring in rings], axis=1))
        case Rod():
            ball = _ball() * (shape.radius[:, None, None] + pad)
            ends = bodies.at(shape.body, shape.start), bodies.at(shape.other, shape.end)
            return np.concatenate([end[:, None] + ball for end in ends], axis=1)
        case Turning():
            return _turned(shape, bodies, pad)
    raise TypeError(f"{type(shape).__name__} does not move")


def _circle(axis: Array) -> Array:
    """(samples, AROUND, 3), of radius one and a little more."""
    across = unit(cross(axis, np.eye(3)[np.abs(axis).argmin(axis=-1)]))
    angle = 2 * np.pi * np.arange(AROUND) / AROUND
    other = cross(axis, across)
    ring = np.cos(angle)[None, :, None] * across[:, None] + np.sin(angle)[None, :, None] * other[:, None]
    return np.asarray(ring / np.cos(np.pi / AROUND))


def _ball() -> Array:
    """(1, k, 3), points around a ball of radius one whose hull holds it."""
    rise = np.pi * (np.arange(1, 12) / 12 - 0.5)
    turn = 2 * np.pi * np.arange(AROUND // 2) / (AROUND // 2)
    up, round_ = (angle.ravel() for angle in np.meshgrid(rise, turn))
    points = np.stack([np.cos(up) * np.cos(round_), np.cos(up) * np.sin(round_), np.sin(up)], axis=-1)
    poles = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]])
    return np.asarray(np.concatenate([points, poles])[None] / IN_BALL)


def _turned(shape: Turning, bodies: Bodies, pad: float) -> Array:
    section = shape.section
    if not isinstance(section, Barrel):
        raise TypeError("only the tyre of a wheel is swept: the rim is inside it")
    outer, half, shoulder, crown = (
        float(np.ravel(value)[0]) for value in (section.outer, section.half_width, section.shoulder, section.crown)
    )
    edge, arc = half - shoulder, crown - shoulder
    lean = float(np.arcsin(min(edge / arc, 1.0))) if np.isfinite(crown) else 0.0
    corner = outer - crown + arc * np.cos(lean) if np.isfinite(crown) else outer - shoulder
    tread = np.linspace(-lean, lean, 2 * ALONG + 1)
    bend = np.linspace(lean, np.pi / 2, ALONG + 1)
    round_r, round_h = corner + (shoulder + pad) * np.cos(bend), edge + (shoulder + pad) * np.sin(bend)
    crown_r = outer - crown + (crown + pad) * np.cos(tread) if np.isfinite(crown) else np.full(tread.size, outer + pad)
    crown_h = (crown + pad) * np.sin(tread) if np.isfinite(crown) else np.linspace(-edge, edge, tread.size)
    radius, height = np.concatenate([crown_r, round_r, round_r]), np.concatenate([crown_h, round_h, -round_h])
    circle = _circle(shape.axis)[:, None] * radius[None, :, None, None]
    points = shape.centre[:, None, None] + height[None, :, None, None] * shape.axis[:, None, None] + circle
    return bodies.at(shape.body, points.reshape(len(points), -1, 3))
