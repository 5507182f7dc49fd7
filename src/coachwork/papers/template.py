"""A template at 1:1 as plain strokes, and its SVG and DXF. Millimetres; y up, as on the drawing laid on the work.

SVG: W3C SVG 1.1, sizes in millimetres. DXF: R2010, drawing units millimetres ($INSUNITS 4), a layer for each kind of
stroke.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, TypeAlias

from coachwork.papers.pen import Strokes, width_of

Kind = Literal["CUT", "DRILL", "PLACE", "DATUM"]
KINDS: dict[Kind, str] = {
    "CUT": "cut along it", "DRILL": "drill", "PLACE": "where something sits", "DATUM": "to measure from",
}  # fmt: skip
WEIGHTS: dict[Kind, float] = {"CUT": 0.35, "DRILL": 0.25, "PLACE": 0.25, "DATUM": 0.18}
COLOURS: dict[Kind, str] = {"CUT": "#000000", "DRILL": "#000000", "PLACE": "#4d4d4d", "DATUM": "#4d4d4d"}
DASHES: dict[Kind, str] = {"CUT": "", "DRILL": "", "PLACE": "2.4 1", "DATUM": "5 1.2 0.6 1.2"}
_LAYERS = {"CUT": 7, "DRILL": 7, "PLACE": 8, "DATUM": 8, "WORDS": 8}  # colour index: 7 black or white, 8 grey
CROSS_MM = 4.0  # arms of the cross over a hole: it is centre-punched through the paper
TEXT_MM = 2.6
MARGIN_MM = 6.0


@dataclass(frozen=True)
class Line:
    """Straight from point to point."""

    kind: Kind
    points: tuple[tuple[float, float], ...]
    closed: bool = False


@dataclass(frozen=True, kw_only=True)
class Hole:
    """A round hole, or (PLACE) a round thing that stands there; a hole's number refers to the list beside."""

    x: float
    y: float
    diameter: float
    kind: Kind = "DRILL"
    number: int | None = None
    what: str = ""


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Words; x and y their left (or middle) on the base line."""

    x: float
    y: float
    text: str
    size: float = TEXT_MM
    anchor: Literal["start", "middle"] = "start"
    turned: bool = False

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top."""
        wide = width_of(self.text, self.size)
        back = wide / 2 if self.anchor == "middle" else 0.0
        if self.turned:
            return self.x - self.size, self.y - back, self.x + 0.3 * self.size, self.y - back + wide
        return self.x - back, self.y - 0.3 * self.size, self.x - back + wide, self.y + self.size

    def moved(self, dx: float, dy: float) -> Mark:
        """The same words elsewhere."""
        return Mark(x=self.x + dx, y=self.y + dy, text=self.text, size=self.size, anchor=self.anchor,
                    turned=self.turned)  # fmt: skip


Part: TypeAlias = Line | Hole | Mark


@dataclass(frozen=True, kw_only=True)
class Template:
    """One template.

    name  : of its files
    how   : how it is laid on, seen from where
    notes : what else there is to say, such as by how much the paper is off on a skin that bends both ways
    things : what sits where: what it is called on the paper, its span forward, to the left, and how it is held
    """

    name: str
    title: str
    how: str
    parts: tuple[Part, ...]
    notes: tuple[str, ...] = ()
    things: tuple[tuple[str, str, str, str], ...] = ()

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of all strokes; words do not count."""
        boxes = [_box(part) for part in self.parts if not isinstance(part, Mark)]
        lefts, bottoms, rights, tops = zip(*boxes, strict=True)
        return min(lefts), min(bottoms), max(rights), max(tops)

    @property
    def holes(self) -> tuple[Hole, ...]:
        """Those to drill, in the order of their numbers."""
        return tuple(part for part in self.parts if isinstance(part, Hole) and part.kind == "DRILL")


def _box(part: Line | Hole) -> tuple[float, float, float, float]:
    if isinstance(part, Hole):
        r = part.diameter / 2
        return part.x - r, part.y - r, part.x + r, part.y + r
    xs, ys = zip(*part.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def draw(parts: Iterable[Part], paper: Strokes, *, left: float, top: float) -> None:
    """Strokes onto paper whose y goes down: `left` and `top` of the template come to its origin."""
    for part in parts:
        if isinstance(part, Mark):
            paper.words(part.x - left, top - part.y, part.text, part.size, anchor=part.anchor, turned=part.turned,
                        clear=True)  # fmt: skip
        elif isinstance(part, Hole):
            x, y = part.x - left, top - part.y
            paper.disc(x, y, part.diameter / 2, weight=WEIGHTS[part.kind], colour=COLOURS[part.kind])
            if part.kind == "DRILL":
                for dx, dy in ((CROSS_MM, 0.0), (0.0, CROSS_MM)):
                    paper.line((x - dx, y - dy), (x + dx, y + dy), weight=0.12)
            if part.number is not None:
                paper.words(x + part.diameter / 2 + 0.8, y - part.diameter / 2 - 0.4, str(part.number), TEXT_MM,
                            bold=True)  # fmt: skip
        else:
            points = [(x - left, top - y) for x, y in part.points]
            paper.line(*points, weight=WEIGHTS[part.kind], colour=COLOURS[part.kind], dashes=DASHES[part.kind],
                       closed=part.closed)  # fmt: skip


def svg(of: Template) -> str:
    """The whole template on one sheet as large as it is."""
    left, bottom, right, top = of.bounds
    marks = [part.box for part in of.parts if isinstance(part, Mark)]
    left, bottom = min([left, *(m[0] for m in marks)]) - MARGIN_MM, min([bottom, *(m[1] for m in marks)]) - MARGIN_MM
    right, top = max([right, *(m[2] for m in marks)]) + MARGIN_MM, max([top, *(m[3] for m in marks)]) + MARGIN_MM
    paper = Strokes()
    draw(of.parts, paper, left=left, top=top)
    return paper.svg(width=right - left, height=top - bottom, title=f"{of.title}: {of.how}")


def dxf(of: Template) -> str:
    """The template for a cutter; the same bytes for the same template."""
    import ezdxf
    from ezdxf import units
    from ezdxf.document import Drawing

    options = ezdxf.options  # type: ignore[attr-defined]
    fixed = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # else the file holds the hour and random ids
    try:
        document = Drawing.new("R2010")
        document.units = units.MM
        for layer, colour in _LAYERS.items():
            document.layers.add(layer, color=colour)
        space = document.modelspace()
        for part in of.parts:
            if isinstance(part, Mark):
                turn = 90.0 if part.turned else 0.0
                at = {"layer": "WORDS", "insert": (part.box[0], part.y), "rotation": turn}
                space.add_text(part.text, height=part.size * 0.72, dxfattribs=at)
            elif isinstance(part, Hole):
                space.add_circle((part.x, part.y), part.diameter / 2, dxfattribs={"layer": part.kind})
            else:
                space.add_lwpolyline(part.points, close=part.closed, dxfattribs={"layer": part.kind})
        out = io.StringIO()
        document.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = fixed
    return out.getvalue()
