"""A part's drawing at 1:1: three views in first-angle projection, overall sizes, and its holes from the datum.

First angle (ISO 5456-2:1996, from memory): what is seen from above stands below, and what is seen from the left, on the
right. The view from the right is the first here, and behind is on its viewer's left.

Edges come from the part's own triangles: where two meet at more than 20 degrees, cut into short pieces, and a piece is
drawn where a ray from it to the eye meets nothing. Holes are dimensioned by coordinates in a table (ISO 129-1, from
memory): name, place of the axis from the datum, diameter, depth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachwork.studies.solids import Hole, PartSolid

Numbers = NDArray[np.float64]
SHARP_RAD = np.radians(20)
PIECE_MM = 1.5
GAP_MM = 22.0  # between views, with room for a dimension
MARGIN_MM = 12.0
ROW_MM = 5.0
TEXT_MM = 3.0
SMALL_MM = 2.2
ROOMY_MM = 20.0
DATUM_MM = 5.0  # how far the datum's lines stand out of the part
Text = tuple[float, float, float, str, str]  # x, y, height, words, anchor


@dataclass(frozen=True, eq=False, kw_only=True)
class View:
    """Seen from one side: directions on paper, and where the part's origin comes to lie there (y up)."""

    name: str
    right: Numbers
    up: Numbers
    origin: Numbers

    def on_paper(self, points: Numbers) -> Numbers:
        """(n, 3) to (n, 2)."""
        return np.column_stack([points @ self.right, points @ self.up]) + self.origin


@dataclass(frozen=True, eq=False, kw_only=True)
class Sheet:
    """All that is drawn, in mm with y up."""

    size: tuple[float, float]
    edges: Numbers  # (n, 2, 2)
    thin: Numbers  # (m, 2, 2), dimension and centre lines
    circles: tuple[tuple[float, float, float], ...]
    texts: tuple[Text, ...]


def sheet(part: PartSolid) -> Sheet:
    """The view from the right, the view from behind to its right, the view from above below both."""
    import trimesh

    mesh = trimesh.load_mesh(part.mesh)
    low, high = mesh.bounds
    (dx, dy, dz), x, y, z = high - low, *np.eye(3)
    holes = [(i, hole) for i, hole in enumerate(part.holes, start=1)]
    rows = _rows(part, holes)
    across, base = max(dx, 60.0), max(0.0, ROW_MM * (len(rows) + 1) - dy)  # of all: the table may be the longer
    over = base + dy + GAP_MM
    top = View(name="from above", right=x, up=y, origin=np.array([-low[0], base - low[1]]))
    side = View(name="from the right", right=x, up=z, origin=np.array([-low[0], over - low[2]]))
    rear = View(name="from behind", right=-y, up=z, origin=np.array([across + GAP_MM + high[1], over - low[2]]))
    edges = []
    for view in (top, side, rear):
        back = np.cross(view.right, view.up)
        seen = _visible(mesh, _pieces(mesh, back), back)
        edges.append(view.on_paper(seen.reshape(-1, 3)).reshape(-1, 2, 2))
    table_x, table_y = across + GAP_MM, base + dy - TEXT_MM
    texts: list[Text] = [(table_x, table_y - i * ROW_MM, TEXT_MM, row, "start") for i, row in enumerate(rows)]
    thin: list[Numbers] = []
    for a, b, at, upright, from_datum in (
        (0.0, dx, over - GAP_MM / 2, False, low[0]), (over, over + dz, -6.0, True, low[2]),
        (base, base + dy, -6.0, True, low[1]),
    ):  # fmt: skip
        lines, words = _dimension(a, b, at, upright=upright, from_datum=float(from_datum))
        thin += lines
        texts += words
    for view in (top, side, rear):
        lines, words = _datum(view, low, high)
        thin += lines
        texts += words
    circles = []
    numbers: dict[tuple[float, float], list[str]] = {}  # of holes that lie one behind the other, side by side
    for i, hole in holes:
        for view in (top, side, rear):
            if abs(float(np.cross(view.right, view.up) @ hole.axis)) > 0.99:
                px, py = view.on_paper(np.array([hole.centre_mm]))[0]
                circles.append((float(px), float(py), hole.diameter_mm / 2))
                reach = hole.diameter_mm / 2 + 1.5
                thin += [np.array([[px - reach, py], [px + reach, py]]), np.array([[px, py - reach], [px, py + reach]])]
                numbers.setdefault((round(float(px) + reach, 2), round(float(py) + 0.8, 2)), []).append(str(i))
    texts += [(x, y, SMALL_MM, ", ".join(each), "start") for (x, y), each in numbers.items()]
    height = over + dz + 8.0
    head = f"{part.number}  {part.name}   {part.process}, {part.material}   1:1, mm, first angle"
    texts.append((0.0, height, 4.0, head, "start"))
    texts += [
        (where[0], where[1], 2.2, view.name, "start")
        for view, where in ((top, (0.0, base - 4.0)), (side, (0.0, over - 4.0)), (rear, (across + GAP_MM, over - 4.0)))
    ]
    width = max(across + GAP_MM + max(dy + 3 * DATUM_MM, 2.0 * max((len(r) for r in rows), default=0)), 2.4 * len(head))
    return Sheet(
        size=(float(width), float(height + 8.0)), edges=np.concatenate(edges), thin=np.array(thin),
        circles=tuple(circles), texts=tuple(texts),
    )  # fmt: skip


def _rows(part: PartSolid, holes: Sequence[tuple[int, Hole]]) -> list[str]:
    rows = ["no. hole: x, y, z of its axis from the datum; finished diameter; depth"] if holes else []
    for i, hole in holes:
        x, y, z = hole.centre_mm
        deep = "through" if hole.through else f"{hole.depth_mm:.1f} deep"
        screw = f", {hole.screw}" if hole.screw else ""
        rows.append(f"{i}  {hole.name}:  {x:z.2f}, {y:z.2f}, {z:z.2f};  {hole.diameter_mm:z.2f} dia, {deep}{screw}")
    if part.measured is not None:
        rows.append(f"volume {part.measured.volume_mm3 / 1000:.2f} cm3")
    return rows


def _dimension(a: float, b: float, at: float, *, upright: bool, from_datum: float) -> tuple[list[Numbers], list[Text]]:
    """A dimension line with its ends, its length, and how far both ends lie from the datum."""

    def point(along: float, off: float) -> list[float]:
        return [off, along] if upright else [along, off]

    lines = [np.array([point(a, at), point(b, at)])]
    lines += [np.array([point(end, at - 1.5), point(end, at + 1.5)]) for end in (a, b)]
    middle = (a + b) / 2
    x, y = (at - 1.0, middle) if upright else (middle, at + 1.0)
    texts: list[Text] = [(x, y, TEXT_MM, f"{b - a:.2f}", "end" if upright else "middle")]
    if b - a > ROOMY_MM:  # else they would run into the length
        for end, value in ((a, from_datum), (b, from_datum + b - a)):
            place = (at - 2.0, end - 0.8) if upright else (end, at - 4.0)
            texts.append((*place, SMALL_MM, f"{value:+z.2f}", "end" if upright else "middle"))
    return lines, texts


def _datum(view: View, low: Numbers, high: Numbers) -> tuple[list[Numbers], list[Text]]:
    """Where the datum's two lines lie in a view: across it all, named at their ends; none beside the part."""
    corners = view.on_paper(np.array([low, high]))
    left, right = corners[:, 0].min(), corners[:, 0].max()
    bottom, up = corners[:, 1].min(), corners[:, 1].max()
    x, y = view.on_paper(np.zeros((1, 3)))[0]
    lines: list[Numbers] = []
    texts: list[Text] = []
    if left - 1 < x < right + 1:
        lines += _dashes(np.array([x, bottom - DATUM_MM]), np.array([x, up + DATUM_MM]))
        texts.append((float(x) + 0.8, float(up) + DATUM_MM - 1.8, SMALL_MM, "datum", "start"))
    if bottom - 1 < y < up + 1:
        lines += _dashes(np.array([left - DATUM_MM, y]), np.array([right + DATUM_MM, y]))
        texts.append((float(right) + DATUM_MM + 0.8, float(y) - 0.8, SMALL_MM, "datum", "start"))
    return lines, texts


def _dashes(start: Numbers, end: Numbers) -> list[Numbers]:
    """A line of long dashes and dots (ISO 128, type 04)."""
    long = float(np.linalg.norm(end - start))
    way = (end - start) / long
    found = []
    for at in np.arange(0.0, long, 9.0):
        for a, b in ((at, at + 6.0), (at + 7.2, at + 7.8)):
            if a < long:
                found.append(np.array([start + a * way, start + min(b, long) * way]))
    return found


def _pieces(mesh: Any, back: Numbers) -> Numbers:
    """(n, 2, 3) pieces of the edges, and of the outlines of rounded faces."""
    looks = (mesh.face_normals @ back)[mesh.face_adjacency]
    outline = (looks.max(axis=1) > 1e-6) & (looks.min(axis=1) <= 1e-6)
    drawn = (mesh.face_adjacency_angles > SHARP_RAD) | outline
    ends = mesh.vertices[mesh.face_adjacency_edges[drawn]]
    count = np.maximum(1, np.ceil(np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1) / PIECE_MM)).astype(int)
    which = np.repeat(np.arange(len(ends)), count)
    index = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    step = (ends[which, 1] - ends[which, 0]) / count[which][:, None]
    start = ends[which, 0] + index[:, None] * step
    return np.stack([start, start + step], axis=1)


def _visible(mesh: Any, pieces: Numbers, back: Numbers) -> Numbers:
    """Pieces whose middle sees the eye, a hair outside the material: two tries, on both sides of the edge."""
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    rays = RayMeshIntersector(mesh)
    middle = pieces.mean(axis=1)
    along = pieces[:, 1] - pieces[:, 0]
    side = np.cross(along, back)
    length = np.linalg.norm(side, axis=1)
    seen = np.zeros(len(pieces), dtype=bool)
    flat = length > 1e-9
    side[flat] /= length[flat][:, None]
    for sign in (-1.0, 1.0):
        starts = middle + 0.02 * sign * side + 0.02 * back
        seen |= rays.intersects_first(starts, np.broadcast_to(back, starts.shape)) < 0
    return np.asarray(pieces[seen & flat])


def svg(drawn: Sheet) -> str:
    """The sheet as SVG, 1:1 when printed without scaling."""
    width, height = drawn.size[0] + 3 * MARGIN_MM, drawn.size[1] + 2 * MARGIN_MM

    def place(x: float, y: float) -> str:
        return f"{x + 2 * MARGIN_MM:.2f},{height - MARGIN_MM - y - 6:.2f}"

    def path(lines: Numbers) -> str:
        return "".join(f"M{place(*a)}L{place(*b)}" for a, b in lines)

    body = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.1f}mm" height="{height:.1f}mm" '
        f'viewBox="0 0 {width:.1f} {height:.1f}">',
        '<rect width="100%" height="100%" fill="white"/>',
        f'<path d="{path(drawn.edges)}" fill="none" stroke="#16202a" stroke-width="0.3" stroke-linecap="round"/>',
        f'<path d="{path(drawn.thin)}" fill="none" stroke="#4a6a8a" stroke-width="0.15"/>',
    ]
    for x, y, size, text, anchor in drawn.texts:
        px, py = place(x, y).split(",")
        body.append(f'<text x="{px}" y="{py}" font-family="sans-serif" font-size="{size}" text-anchor="{anchor}" '
                    f'fill="#16202a">{escape(text)}</text>')  # fmt: skip
    return "\n".join([*body, "</svg>", ""])


def write_drawing(part: PartSolid, svg_file: Path, dxf_file: Path) -> None:
    """Both files, of one and the same sheet."""
    drawn = sheet(part)
    svg_file.write_text(svg(drawn), encoding="utf-8")
    _write_dxf(drawn, dxf_file)


def _write_dxf(drawn: Sheet, file: Path) -> None:
    from ezdxf import units
    from ezdxf.document import Drawing
    from ezdxf.enums import TextEntityAlignment

    document = Drawing.new("R2010")
    document.units = units.MM
    space = document.modelspace()
    for name in ("edges", "dimensions", "holes", "texts"):
        document.layers.add(name)
    for layer, lines in (("edges", drawn.edges), ("dimensions", drawn.thin)):
        for a, b in lines:
            space.add_line(tuple(map(float, a)), tuple(map(float, b)), dxfattribs={"layer": layer})
    for x, y, radius in drawn.circles:
        space.add_circle((x, y), radius, dxfattribs={"layer": "holes"})
    align = {"start": TextEntityAlignment.LEFT, "middle": TextEntityAlignment.CENTER, "end": TextEntityAlignment.RIGHT}
    for x, y, size, text, anchor in drawn.texts:
        space.add_text(text, height=size * 0.7, dxfattribs={"layer": "texts"}).set_placement(
            (x, y), align=align[anchor]
        )
    document.saveas(file)
