"""A template over as many sheets of paper as it takes: overlaps, register marks, and check rules in both directions.

+----------------------------+      Every sheet carries a rule of 100 mm along its lower edge and one up its left
| words                      |      edge, outside the window: a printer may stretch one way and not the other.
| r +--------------------+   |      Windows overlap by 10 mm; in the middle of each overlap stand two register
| u |                    |   |      marks, on both sheets, to be laid over one another.
| l |       window       |   |
| e |                    |   |
|   +--------------------+   |
|    rule                    |
+----------------------------+
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from coachwork.papers.pen import SOFT, Strokes
from coachwork.papers.sheet import FullPage, PaperSize
from coachwork.papers.template import Hole, Line, Mark, Part, Template, draw

PAPER_MM: dict[PaperSize, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 22.0, 10.0, 26.0, 24.0
OVERLAP_MM = 10.0
RULE_MM = 100.0
ROUND_MM = 2.0  # free paper round the template


@dataclass(frozen=True, kw_only=True)
class Tile:
    """One sheet's window onto the template: left and top on it, size; and the register marks it shows."""

    row: int
    column: int
    left: float
    top: float
    width: float
    height: float
    marks: tuple[tuple[str, float, float], ...]

    def holds(self, box: tuple[float, float, float, float]) -> bool:
        """Whether a box lies within the window."""
        left, bottom, right, top = box
        return (
            left >= self.left and right <= self.left + self.width and top <= self.top
            and bottom >= self.top - self.height
        )  # fmt: skip

    def meets(self, box: tuple[float, float, float, float]) -> bool:
        """Whether a box reaches into the window."""
        left, bottom, right, top = box
        return (
            right >= self.left and left <= self.left + self.width and bottom <= self.top
            and top >= self.top - self.height
        )  # fmt: skip


def page_mm(of: Template, paper: PaperSize) -> tuple[float, float]:
    """Width and height of the paper, held the way that takes fewer sheets."""
    upright = PAPER_MM[paper]
    return min((upright, upright[::-1]), key=lambda size: len(_tiles(of, size)))


def tiles_of(of: Template, paper: PaperSize) -> tuple[Tile, ...]:
    """Row by row from the upper left."""
    return _tiles(of, page_mm(of, paper))


def _tiles(of: Template, size: tuple[float, float]) -> tuple[Tile, ...]:
    width, height = size[0] - LEFT_MM - RIGHT_MM, size[1] - TOP_MM - BOTTOM_MM
    low_x, low_y, high_x, high_y = of.bounds
    columns, left = _run(low_x - ROUND_MM, high_x + ROUND_MM, width)
    rows, bottom = _run(low_y - ROUND_MM, high_y + ROUND_MM, height)
    top = bottom + rows * (height - OVERLAP_MM) + OVERLAP_MM
    step_x, step_y = width - OVERLAP_MM, height - OVERLAP_MM
    marks: dict[tuple[int, int], list[tuple[str, float, float]]] = {}
    letters = _letters()

    def mark(x: float, y: float, *tiles: tuple[int, int]) -> None:
        name = next(letters)
        for tile in tiles:
            marks.setdefault(tile, []).append((name, x, y))

    for row in range(rows):
        for column in range(columns):
            x, y = left + column * step_x, top - row * step_y
            if column + 1 < columns:
                for share in (0.25, 0.75):
                    mark(x + step_x + OVERLAP_MM / 2, y - share * height, (row, column), (row, column + 1))
            if row + 1 < rows:
                for share in (0.25, 0.75):
                    mark(x + share * width, y - step_y - OVERLAP_MM / 2, (row, column), (row + 1, column))
    return tuple(
        Tile(row=row, column=column, left=left + column * step_x, top=top - row * step_y, width=width, height=height,
             marks=tuple(marks.get((row, column), ())))
        for row in range(rows)
        for column in range(columns)
    )  # fmt: skip


def _run(low: float, high: float, room: float) -> tuple[int, float]:
    """How many windows it takes, and where the first begins so that all is in the middle."""
    number = max(1, math.ceil((high - low - OVERLAP_MM) / (room - OVERLAP_MM)))
    spare = number * (room - OVERLAP_MM) + OVERLAP_MM - (high - low)
    return number, low - spare / 2


def _letters() -> Iterator[str]:
    """A, B ... Z, AA, AB ..."""
    number = 0
    while True:
        number += 1
        rest, name = number, ""
        while rest:
            rest, digit = divmod(rest - 1, 26)
            name = chr(65 + digit) + name
        yield name


def full_pages(of: Template, *, paper: PaperSize, vehicle: str) -> Iterator[FullPage]:
    """The template's sheets."""
    tiles = tiles_of(of, paper)
    for number, tile in enumerate(tiles, start=1):
        name = f"sheet {number} of {len(tiles)}"
        width, height = page_mm(of, paper)
        yield FullPage(
            svg=_page(of, tile, tiles, (width, height), name, vehicle), width_mm=width, height_mm=height,
            alt=f"{of.title} at 1:1, {name}. {of.how} Its holes are listed before.",
        )  # fmt: skip


def _page(of: Template, tile: Tile, tiles: tuple[Tile, ...], size: tuple[float, float], name: str, vehicle: str) -> str:
    width, height = size
    sheet, inside = Strokes(), Strokes()
    draw(_seen(of, tile, tiles), inside, left=tile.left - LEFT_MM, top=tile.top + TOP_MM)
    sheet.words(LEFT_MM, 11.0, f"{of.title}, {name}", 4.2, bold=True)
    sheet.words(LEFT_MM, 16.2, f"{vehicle}. Row {tile.row + 1}, column {tile.column + 1}.", 2.8)
    joined = " Cut on the dotted line, lay register mark over register mark." if len(tiles) > 1 else ""
    sheet.words(LEFT_MM, 20.8, f"1:1. {of.how}{joined}", 2.5)
    window = f'x="{LEFT_MM}" y="{TOP_MM}" width="{tile.width:.3f}" height="{tile.height:.3f}"'
    sheet.parts.append(f'<defs><clipPath id="window"><rect {window}/></clipPath></defs>')
    sheet.parts.append('<g clip-path="url(#window)">')
    sheet.parts += inside.parts
    sheet.parts.append("</g>")
    sheet.box(LEFT_MM, TOP_MM, tile.width, tile.height, weight=0.15, fill="none", colour=SOFT, dashes="0.6 1.4")
    for letter, x, y in tile.marks:
        _register(sheet, letter, x - tile.left + LEFT_MM, tile.top - y + TOP_MM)
    _rules(sheet, height)
    return sheet.svg(width=width, height=height, title=f"{of.title}, {name}")


def _seen(of: Template, tile: Tile, tiles: tuple[Tile, ...]) -> Iterator[Part]:
    """Strokes that reach into the window; words only where they stand whole, moved aside where no sheet has room."""
    for part in of.parts:
        if isinstance(part, Mark):
            if tile.holds(part.box):
                yield part
            elif not any(other.holds(part.box) for other in tiles) and tile is _nearest(part, tiles):
                yield _pushed_in(part, tile)
        elif tile.meets(_reach(part)):
            yield part


def _reach(part: Line | Hole) -> tuple[float, float, float, float]:
    if isinstance(part, Hole):
        r = part.diameter / 2 + 5  # with its cross and number
        return part.x - r, part.y - r, part.x + r, part.y + r
    xs, ys = zip(*part.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _nearest(mark: Mark, tiles: tuple[Tile, ...]) -> Tile:
    def off(tile: Tile) -> float:
        return math.hypot(mark.x - tile.left - tile.width / 2, mark.y - tile.top + tile.height / 2)

    return min(tiles, key=off)


def _pushed_in(mark: Mark, tile: Tile) -> Mark:
    left, bottom, right, top = mark.box
    dx = max(tile.left + 1 - left, 0.0) or min(tile.left + tile.width - 1 - right, 0.0)
    dy = max(tile.top - tile.height + 1 - bottom, 0.0) or min(tile.top - 1 - top, 0.0)
    return mark.moved(dx, dy)


def _register(sheet: Strokes, letter: str, x: float, y: float) -> None:
    sheet.line((x - 4, y), (x + 4, y), weight=0.2)
    sheet.line((x, y - 4), (x, y + 4), weight=0.2)
    sheet.disc(x, y, 2.0, weight=0.2)
    sheet.words(x + 1.8, y - 1.9, letter, 2.6, bold=True)


def _rules(sheet: Strokes, height: float) -> None:
    """100 mm along and 100 mm up; the long strokes are exactly that long."""
    x, y = LEFT_MM, height - BOTTOM_MM + 10
    sheet.line((x, y), (x + RULE_MM, y), weight=0.25, data=(("rule", "along"),))
    for tick in range(11):
        at = x + tick * RULE_MM / 10
        sheet.line((at, y), (at, y - (3.0 if tick % 5 == 0 else 1.8)), weight=0.2)
    sheet.words(x + RULE_MM + 3, y, "100 mm. Print at 100 %, not fitted to the page.", 2.6)
    x, y = LEFT_MM - 6, height - BOTTOM_MM - 4
    sheet.line((x, y), (x, y - RULE_MM), weight=0.25, data=(("rule", "across"),))
    for tick in range(11):
        at = y - tick * RULE_MM / 10
        sheet.line((x, at), (x + (3.0 if tick % 5 == 0 else 1.8), at), weight=0.2)
    sheet.words(x - 1.6, y, "100 mm: check this way, too", 2.6, turned=True)
