r"""Wheel-arch openings: found in the side's silhouette, then fitted to the vertices of the lip itself.

          _______________________
         |     ___       ___     |       the lower edge as seen from the side rises where an opening is;
         |____/   \_____/   \____|       from inside it, the first wall in each direction is the lip

The silhouette is a picture of points, good to a pixel. The lip's own vertices are what the circle goes through: those
of the narrow face that a wall's edge has, or the border where one skin ends. A vertex is where the scanner saw the
surface; the chords between vertices would cut the corners of a coarse mesh.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coachwork.scans.circle import Circle, fitted
from coachwork.scans.mesh import Mesh, Numbers

PIXELS = 450  # along the body's length
# Of the half-width: what lies further in is not the side's wall but a tub or the other side. The first serves a side
# that leans; where a tub's end closes the opening that way, only what lies further out is looked at.
SIDES = (0.55, 0.75, 0.88)
LEAST_RISE, LEAST_WIDTH, MOST_WIDTH = 0.03, 0.07, 0.35  # of the body's length: rise over the sill, width of an opening
LEAST_ARC = np.radians(100)  # a circle through less of its edge than this is not trusted; our choice
CIRCULAR = 0.01  # of the radius: a lip that strays further from the circle is of another shape
FEWEST_STEPS = 8  # round the lip, each with vertices enough to tell how far out it is and how thick
FEWEST_EACH_SIDE = 10  # vertices about the height of the centre, to tell how wide the opening is there by themselves
EDGE = 0.06  # of the radius: the circle goes through what lies less than this behind the lip's outer edge
THICKEST_LIP = 0.12  # of the radius; further in there may be a tub round the wheel
LEGS = np.radians(12)  # below this over the horizontal the lip may run straight down

Side = Literal["left", "right"]
SIGN: Mapping[Side, float] = {"left": 1.0, "right": -1.0}


@dataclass(frozen=True, eq=False, kw_only=True)
class Arch:
    """One opening, in the frame of the mesh it was found in, and half-widths.

    x, z, radius : of the circle through the lip, seen from the side
    outer        : |y| of the lip's outer edge at the height of the centre
    top          : z of the opening's highest point
    opening      : edge to edge, fore and aft, at the height of the centre
    lip          : how thick the shell is at the lip, along y; NaN for a single skin
    arc_rad      : how much of the circle the lip shows          rms : of the lip from the circle, step by step
    """

    side: Side
    x: float
    z: float
    radius: float
    outer: float
    top: float
    opening: float
    lip: float
    half_x: float
    half_z: float
    half_radius: float
    half_outer: float
    half_opening: float
    half_lip: float
    arc_rad: float
    rms: float

    @property
    def half_top(self) -> float:
        """Of the top: the circle's centre and radius together."""
        return float(np.hypot(self.half_z, self.half_radius))

    @property
    def sure(self) -> bool:
        """Whether it is a circle and enough of it is seen."""
        return self.arc_rad >= LEAST_ARC and self.rms < CIRCULAR * self.radius


@dataclass(frozen=True, eq=False, kw_only=True)
class _Picture:
    """The side seen from outside: which pixels show its wall."""

    wall: NDArray[np.bool_]  # (along x, along z)
    low: Numbers  # (2,), x and z of the first pixel's corner
    pixel: float


def find_arches(mesh: Mesh, *, sill: float, noise: float, spacing: float, marks: Mapping[Side, tuple[Numbers, ...]],
                random: np.random.Generator) -> dict[Side, tuple[Arch, ...]]:  # fmt: skip
    """Those of each side, from the greatest x to the least; the mesh is in the body frame, level with its sill.

    marks : points (3,) inside openings, which are taken in place of what the silhouette shows
    """
    points, _ = mesh.sampled(600_000, random)
    half = float(np.quantile(np.abs(points[:, 1]), 0.995))
    found: dict[Side, tuple[Arch, ...]] = {"left": (), "right": ()}
    for side, sign in SIGN.items():
        inside = [mark[[0, 2]] for mark in marks.get(side, ())]
        for share in SIDES:
            picture = _picture(points[sign * points[:, 1] > share * half])
            starts = inside or list(_rises(picture, sill))
            arches = [_arch(mesh, side, picture, start, sill, noise=noise, spacing=spacing) for start in starts]
            there = sorted((arch for arch in arches if arch is not None), key=lambda arch: -arch.x)
            if len(there) > len(found[side]):
                found[side] = tuple(there)
            if len(found[side]) >= (len(inside) or 2):
                break
    return found


def _picture(points: Numbers) -> _Picture:
    low, high = points[:, [0, 2]].min(axis=0), points[:, [0, 2]].max(axis=0)
    pixel = float(high[0] - low[0]) / PIXELS
    shape = np.ceil((high - low) / pixel).astype(int) + 1
    place = ((points[:, [0, 2]] - low) / pixel).astype(int)
    wall = np.zeros(shape, dtype=bool)
    wall[place[:, 0], place[:, 1]] = True
    # A gap of one pixel, or a small hole in the scan, is no opening.
    padded = np.pad(wall, 1)
    around = sum(padded[1 + i : padded.shape[0] - 1 + i, 1 + j : padded.shape[1] - 1 + j].astype(int)
                 for i in (-1, 0, 1) for j in (-1, 0, 1))  # fmt: skip
    return _Picture(wall=np.asarray((around >= 6) | wall), low=low, pixel=pixel)


def _rises(picture: _Picture, sill: float) -> Iterator[Numbers]:
    """A point (x, z) inside each opening that rises over the sill line."""
    wall, pixel = picture.wall, picture.pixel
    length = wall.shape[0] * pixel
    lower = np.where(wall.any(axis=1), picture.low[1] + pixel * np.argmax(wall, axis=1), np.nan)
    open_ = lower > sill + LEAST_RISE * length
    edges = np.flatnonzero(np.diff(np.concatenate([[False], open_, [False]]).astype(int)))
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        width = (end - start) * pixel
        at_end = start == 0 or end == len(open_)  # a raised nose or tail
        if LEAST_WIDTH * length < width < MOST_WIDTH * length and not at_end:
            top = float(np.nanmax(lower[start:end]))
            yield np.array([picture.low[0] + (start + end) / 2 * pixel, max(sill + 2 * pixel, top - width * 0.6)])


def _first_wall(picture: _Picture, start: Numbers) -> tuple[Numbers, Numbers]:
    """Directions (n,) and how far the first wall is in each, (n,); NaN where there is none."""
    turn = np.radians(np.arange(-4.0, 185.0, 1.0))
    reach = np.arange(2.0, 0.4 * PIXELS, 0.5) * picture.pixel
    places = start + reach[:, None, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    cells = ((places - picture.low) / picture.pixel).astype(int)
    inside = ((cells >= 0) & (cells < picture.wall.shape)).all(axis=-1)
    cells = np.where(inside[..., None], cells, 0)
    hit = picture.wall[cells[..., 0], cells[..., 1]] & inside
    return turn, np.where(hit.any(axis=0), reach[np.argmax(hit, axis=0)], np.nan)


def _arch(mesh: Mesh, side: Side, picture: _Picture, start: Numbers, sill: float, *, noise: float, spacing: float
          ) -> Arch | None:  # fmt: skip
    """The opening round a point; None where the walls around it make no circle."""
    turn, reach = _first_wall(picture, start)
    seen = np.isfinite(reach)
    if seen.sum() < 60:
        return None
    edge = start + reach[seen, None] * np.stack([np.cos(turn[seen]), np.sin(turn[seen])], axis=1)
    edge = edge[edge[:, 1] > sill + picture.pixel]
    radius = float(np.median(np.linalg.norm(edge - start, axis=1)))
    rough = fitted(edge, centre=start, radius=radius, least_scale=picture.pixel)
    if not 0.5 * radius < rough.radius < 2 * radius or np.linalg.norm(rough.centre - start) > radius:
        return None
    return _lip(mesh, side, rough, sill, noise=noise, spacing=spacing, pixel=picture.pixel)


def _lip(mesh: Mesh, side: Side, rough: Circle, sill: float, *, noise: float, spacing: float, pixel: float
         ) -> Arch | None:  # fmt: skip
    """The circle through the lip's own vertices."""
    sign = SIGN[side]
    reach = max(2.5 * pixel, 1.5 * spacing)
    middle = mesh.centroids[:, [0, 2]] - rough.centre
    near_faces = (np.abs(np.linalg.norm(middle, axis=1) - rough.radius) < 4 * reach) & (sign * mesh.centroids[:, 1] > 0)
    part = Mesh(mesh.vertices, mesh.faces[near_faces])
    toward = np.zeros((len(part.faces), 3))
    outward = middle[near_faces]
    toward[:, [0, 2]] = outward / np.linalg.norm(outward, axis=1, keepdims=True)
    radial = np.abs(np.einsum("ij,ij->i", part.normals, toward)) > 0.75
    candidate = np.zeros(len(mesh.vertices), dtype=bool)
    candidate[part.faces[radial].ravel()] = True
    used = np.unique(part.faces)
    candidate[used] |= mesh.at_border[used]
    candidate = np.flatnonzero(candidate)
    x, y, z = mesh.vertices[candidate].T
    y = sign * y

    wall = mesh.vertices[used]
    ring = np.abs(np.hypot(wall[:, 0] - rough.centre[0], wall[:, 2] - rough.centre[1]) - rough.radius) < reach
    if ring.sum() < 20:
        return None
    inward = _outermost(wall[ring], rough, sign)(x, z) - y  # how far behind the lip's outer edge, there
    skin = inward < EDGE * rough.radius + 2 * noise
    circle, tight = rough, reach
    for step in range(8):
        away = np.stack([x, z], axis=1) - circle.centre
        distance, angle = np.linalg.norm(away, axis=1), np.arctan2(away[:, 1], away[:, 0])
        curved = (angle > LEGS) & (angle < np.pi - LEGS)
        on = skin & curved & (np.abs(distance - circle.radius) < tight) & (z > sill + 2 * noise)
        if on.sum() < 12:
            return None
        points = np.stack([x[on], z[on]], axis=1)
        circle = fitted(points, centre=circle.centre, radius=circle.radius, least_scale=max(noise, 1e-3 * rough.radius))
        tight = max(6 * noise, 0.35 * spacing, 0.005 * rough.radius) if step > 2 else reach
    counted = circle.weights > 0.1
    seen = np.unique(np.floor(np.degrees(angle[on][counted]) / 6))
    around = _around(x, y, z, circle, inward=inward, noise=noise, spacing=spacing)
    rms, sigmas = _stray((distance - circle.radius)[skin & curved], angle[skin & curved], within=1.5 * reach)
    half = 3 * np.hypot(circle.sigmas, sigmas) + 0.25 * noise + 0.02 * spacing
    top_seen = circle.centre[1] + circle.radius
    return Arch(
        side=side, x=float(circle.centre[0]), z=float(circle.centre[1]), radius=circle.radius, outer=around.outer,
        top=float(top_seen), opening=around.opening, lip=around.thickness,
        half_x=float(half[0]), half_z=float(half[1]), half_radius=float(half[2]),
        half_outer=around.half_outer, half_opening=around.half_opening, half_lip=around.half_thickness,
        arc_rad=float(np.radians(6 * len(seen))), rms=rms,
    )  # fmt: skip


def _stray(residual: Numbers, angle: Numbers, *, within: float) -> tuple[float, Numbers]:
    """How far the lip lies from the circle, step by step round it, where it is near at all: rms; and what that leaves
    unknown of centre and radius, as standard deviations (3,), each step taken as one reading.
    """
    near = np.abs(residual) < within
    step = np.floor(np.degrees(angle[near]) / 6)
    steps = np.unique(step)
    medians = np.array([np.median(residual[near][step == one]) for one in steps])
    turn = np.radians(6 * steps + 3)
    slopes = np.column_stack([np.cos(turn), np.sin(turn), np.ones(len(turn))])
    rms = 1.4826 * float(np.median(np.abs(medians)))  # robust: a hole at the lip has its own edge
    return rms, rms * np.sqrt(np.diag(np.linalg.pinv(slopes.T @ slopes)))


@dataclass(frozen=True, kw_only=True)
class _Around:
    outer: float
    half_outer: float
    opening: float
    half_opening: float
    thickness: float
    half_thickness: float


def _outermost(wall: Numbers, circle: Circle, sign: float) -> Callable[[Numbers, Numbers], Numbers]:
    """How far out the wall round an arch reaches, as a function of a point's x and z: it may lean or bulge.

    wall : points (n, 3) round the circle
    """
    sectors = np.radians(np.arange(-90.0, 271.0, 12.0))
    angle = _upward(wall[:, 0] - circle.centre[0], wall[:, 2] - circle.centre[1])
    place = np.clip(np.searchsorted(sectors, angle) - 1, 0, len(sectors) - 2)
    known = [i for i in range(len(sectors) - 1) if (place == i).any()]
    middles = (sectors[:-1] + sectors[1:]) / 2
    reach = [float(np.quantile(sign * wall[place == i, 1], 0.98)) for i in known]

    def at(x: Numbers, z: Numbers) -> Numbers:
        return np.interp(_upward(x - circle.centre[0], z - circle.centre[1]), middles[known], reach)

    return at


def _upward(dx: Numbers, dz: Numbers) -> Numbers:
    """Angle from ahead, up positive, with its jump straight below, where an arch has no lip; -90 to 270 degrees."""
    angle = np.arctan2(dz, dx)
    return np.where(angle < -np.pi / 2, angle + 2 * np.pi, angle)


def _around(x: Numbers, y: Numbers, z: Numbers, circle: Circle, *, inward: Numbers, noise: float, spacing: float
            ) -> _Around:  # fmt: skip
    """What is read off the lip's vertices around the circle: how far out it is, how wide open, how thick."""
    deepest = THICKEST_LIP * circle.radius
    skin = inward < deepest
    dx, dz = x - circle.centre[0], z - circle.centre[1]
    band = 0.12 * circle.radius
    reach = max(6 * noise, 0.35 * spacing, 0.005 * circle.radius)
    wide = np.where(dz > 0, np.hypot(dx, dz), np.abs(dx))  # a point of the circle, brought round to the centre's height
    level = skin & (np.abs(dz) < band) & (np.abs(wide - circle.radius) < 3 * reach)
    fore, aft = level & (dx > 0), level & (dx < 0)
    if min(fore.sum(), aft.sum()) >= FEWEST_EACH_SIDE:
        opening = float(np.median(wide[fore]) + np.median(wide[aft]))
        scatter = np.hypot(wide[fore].std() / np.sqrt(fore.sum()), wide[aft].std() / np.sqrt(aft.sum()))
        half_opening = float(3 * 1.25 * scatter + 0.25 * noise + 0.02 * spacing)
    else:
        opening, half_opening = 2 * circle.radius, float(6 * circle.sigmas[2] + noise + 0.04 * spacing)
    on = skin & (np.abs(np.hypot(dx, dz) - circle.radius) < reach) & (dz > -band)
    width = max(4.0, float(np.degrees(2 * spacing / circle.radius)))  # of a step round the lip, degrees
    turn = np.floor(np.degrees(np.arctan2(dz[on], dx[on])) / width).astype(int)
    outer, inner = [], []
    for step in np.unique(turn):
        here = y[on][turn == step]
        if len(here) >= 3:
            outer.append((step, float(here.max())))
            inner.append(float(here.min()))
    steps, outs = np.array([s for s, _ in outer], dtype=float), np.array([o for _, o in outer])
    at_centre = outs[(steps * width < 40) | (steps * width >= 140)]  # about the height of the centre
    nothing = float("nan")
    if len(outs) < FEWEST_STEPS or len(at_centre) < 3:  # too coarse to tell edge from wall
        return _Around(outer=nothing, half_outer=nothing, opening=opening, half_opening=half_opening,
                       thickness=nothing, half_thickness=nothing)  # fmt: skip
    bias = 0.85 * noise  # the outermost of three or so noisy vertices lies this much too far out on average
    coarse = 0.03 * spacing
    thick = outs - np.array(inner)
    untold = not 4 * noise + 0.1 * spacing <= float(np.median(thick)) < 0.8 * deepest  # one skin, or a tub joins it
    return _Around(
        outer=float(np.median(at_centre)) - bias,
        half_outer=float(3.75 * at_centre.std() / np.sqrt(len(at_centre)) + noise + coarse),
        opening=opening,
        half_opening=half_opening,
        thickness=nothing if untold else float(np.median(thick)) - 2 * bias,
        half_thickness=nothing if untold else float(3.75 * thick.std() / np.sqrt(len(thick)) + 1.5 * noise + coarse),
    )
