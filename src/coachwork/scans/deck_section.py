r"""From a chassis file to a deck's outline: material just below the deck's upper face, less what stands on it.

|wall|                                  The section above is taken from the one below: what is left is flat, and
|----+------------ above                free to put a box on. Where an edge is chamfered or slants, that promises
|    |______________                    too much by `DEPTH_MM` times its slope, and no more.
|---------------chamfer-- below
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from coachwork.build.sections.decks import Deck
from coachwork.errors import ScanRefused
from coachwork.geometry.shrink import shrunk
from coachwork.scans.deck_rim import DeckRim
from coachwork.scans.loading import Last, digest
from coachwork.scans.mesh import Indices, Numbers
from coachwork.scans.reading import read_mesh
from coachwork.scans.units import MM_PER_UNIT

DEPTH_MM = 0.02  # how far over and under the flat it is looked: less than a saw's or printer's own error
NEAR_MM = 0.5  # how far the file's flat may be from the deck's height, which may have been measured
LEVEL = 0.9998  # least share of a flat triangle's normal that points up or down: about 1 degree
MOST_LEVELS = 3  # flats at different heights that are looked at, the largest first
TOLERANCE_MM = 0.2  # how much of the deck is given away for fewer corners
HOLE_MM = 8.0  # an opening no longer and no wider, such as a screw hole, is stood over; common practice, no source
DOOR_MM = 0.5  # how much smaller than its opening a door may be drawn
SPECK_MM2 = 1.0  # of what stands on a deck: less is the file's own rounding
FLAT_SHARE = 0.5  # of its flat triangles' area that a drawn deck leaves at the least

_RIMS, _MESHES = Last(most=8), Last()


def deck_rim(path: Path, deck: Deck) -> DeckRim:
    """The deck's outline by its plain numbers, its doors left whole; made once for the same file and numbers.

    Raises ScanRefused, NotMeasured (the deck's height), OSError.
    """
    height = float(deck.height.mm[0])
    doors = tuple(
        tuple(float(entry.mm[0]) for entry in (door.x_from, door.x_to, door.y_from, door.y_to))
        for door in deck.doors.values()
        if door.x_from.known and door.x_to.known and door.y_from.known and door.y_to.known
    )
    content = digest(path)

    def make() -> DeckRim | ScanRefused:
        try:
            return rim_at(*_MESHES.once(content, lambda: _millimetres(path)), height_mm=height, doors=doors)
        except ScanRefused as fault:
            return ScanRefused(str(fault) if str(fault).startswith(path.name) else f"{path.name}: {fault}")

    rim = _RIMS.once((content, height, doors), make)
    if isinstance(rim, ScanRefused):
        raise rim.with_traceback(None)
    assert isinstance(rim, DeckRim)
    return rim


def _millimetres(path: Path) -> tuple[Numbers, Indices]:
    """Points and triangles; a file that does not say its unit is in millimetres, as CAD programs write it."""
    raw = read_mesh(path)
    if len(raw.faces) == 0:
        raise ScanRefused("there is no triangle in it")
    if not np.isfinite(raw.vertices).all() or raw.faces.min() < 0 or raw.faces.max() >= len(raw.vertices):
        raise ScanRefused("some of its points are no numbers, or not in the file; export it again")
    return raw.vertices * MM_PER_UNIT.get(raw.declared or "mm", 1.0), raw.faces


def rim_at(
    vertices: Numbers, faces: Indices, *, height_mm: float, doors: tuple[tuple[float, ...], ...] = ()
) -> DeckRim:
    """The largest flat near a height, of a mesh in the chassis frame, mm.

    doors  : x from, x to, y from, y to of openings that are closed again
    Raises : ScanRefused where there is no flat there
    """
    levels, areas = _levels(vertices, faces)
    near = np.abs(levels - height_mm) <= NEAR_MM
    if not near.any():
        told = ", ".join(f"{level:z.1f}" for level in sorted(levels[np.argsort(-areas)][:4]))
        raise ScanRefused(f"it has no flat face within {NEAR_MM} mm of the deck's height, {height_mm:g} mm"
                          + (f"; its largest are at {told} mm" if told else ""))  # fmt: skip
    order = np.argsort(-np.where(near, areas, 0.0))[: min(MOST_LEVELS, int(near.sum()))]
    bodies = _bodies(vertices, faces)
    flats = [(level, *_flat(bodies, float(level))) for level in levels[order]]
    level, flat, above = max(flats, key=lambda one: one[1].area())
    if flat.area() < FLAT_SHARE * areas[levels == level][0] / 2:  # halved: an underside is level, too
        raise ScanRefused(f"its face at {level:z.1f} mm is no flat with room above it: a drawn chassis is asked for, "
                          "closed all round")  # fmt: skip
    return _rim(flat, above, float(level), doors)


def _levels(vertices: Numbers, faces: Indices) -> tuple[Numbers, Numbers]:
    """Heights of level triangles, to a hundredth, and how much area each has."""
    a, b, c = (vertices[faces[:, i]] for i in range(3))
    cross = np.cross(b - a, c - a)
    size = np.linalg.norm(cross, axis=1)
    flat = (np.abs(cross[:, 2]) >= LEVEL * size) & (size > 0)
    heights = np.round((a + b + c)[flat, 2] / 3, 2)
    levels, which = np.unique(heights, return_inverse=True)
    return levels, np.bincount(which, weights=size[flat] / 2, minlength=len(levels)).astype(np.float64)


def _bodies(vertices: Numbers, faces: Indices) -> list[Any]:
    """The connected pieces, as the mesh library has them: each is filled by itself, so that they may overlap."""
    import trimesh

    whole = trimesh.Trimesh(vertices, faces, process=False)
    whole.merge_vertices(digits_vertex=4)
    whole.update_faces(whole.nondegenerate_faces())
    return [piece for piece in whole.split(only_watertight=False) if len(piece.faces) > 3]


def _flat(bodies: list[Any], level: float) -> tuple[Any, Any]:
    """Material just under a level with none just over it, and what is just over it."""
    under, over = _section(bodies, level - DEPTH_MM), _section(bodies, level + DEPTH_MM)
    return under - over, over


def _section(bodies: list[Any], height: float) -> Any:
    from manifold3d import CrossSection, FillRule

    whole = CrossSection()
    for body in bodies:
        low, high = body.bounds[:, 2]
        cut = body.section(plane_origin=[0, 0, height], plane_normal=[0, 0, 1]) if low < height < high else None
        loops = [] if cut is None else [
            line[:-1, :2] for line in cut.discrete if len(line) > 3 and np.allclose(line[0], line[-1])
        ]  # fmt: skip
        if loops:
            whole = whole + CrossSection(loops, FillRule.EvenOdd)
    return whole


def _rim(flat: Any, above: Any, level: float, doors: tuple[tuple[float, ...], ...]) -> DeckRim:
    from manifold3d import CrossSection, FillRule

    pieces = sorted(flat.decompose(), key=lambda piece: -piece.area())
    rest = sum(piece.area() for piece in pieces[1:])
    outer = max(pieces[0].to_polygons(), key=lambda ring: abs(_area(ring)))
    filled = CrossSection([outer], FillRule.EvenOdd)
    openings = []
    for hole in (filled - pieces[0]).decompose():
        stands = (hole ^ above).area() > SPECK_MM2 / 10
        x0, y0, x1, y1 = hole.bounds()
        if stands or max(x1 - x0, y1 - y0) > HOLE_MM:
            openings.append(hole)
    free = filled
    for hole in openings:
        standing = hole ^ above
        for x0, x1, y0, y1 in doors:
            x0, x1, y0, y1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
            door = CrossSection.square((x1 - x0 + 2 * DOOR_MM, y1 - y0 + 2 * DOOR_MM))
            hole = (hole - door.translate((x0 - DOOR_MM, y0 - DOOR_MM))) + standing
        free = free - hole
    piece = max(free.decompose(), key=lambda one: one.area())
    rings: list[Numbers] = [_to_thousandths(ring) for ring in piece.to_polygons()]
    rings.sort(key=lambda ring: -abs(_area(ring)))
    rings = [ring for ring in rings if ring is rings[0] or abs(_area(ring)) > SPECK_MM2 / 10]
    turned: list[Numbers] = [ring if (_area(ring) > 0) == (k == 0) else ring[::-1] for k, ring in enumerate(rings)]
    outer, *holes = shrunk(turned, TOLERANCE_MM)
    return DeckRim(corners=outer, holes=tuple(holes), level_mm=level, left_out_mm2=float(rest))


def _to_thousandths(ring: Any) -> Numbers:
    """So that a straight edge is straight again: files hold their points in single precision."""
    return np.asarray(np.round(np.asarray(ring, dtype=np.float64), 3))


def _area(ring: Any) -> float:
    """Positive when counter-clockwise."""
    x, y = np.asarray(ring, dtype=np.float64).T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
