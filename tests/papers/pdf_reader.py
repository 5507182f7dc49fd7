"""A PDF as a library of others reads it (PyMuPDF): words with their boxes, strokes with their ends; mm, y down."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import pymupdf

MM = 72 / 25.4  # points a millimetre
Ends = tuple[float, float]


@dataclass(frozen=True)
class Word:
    """Letters that stand together, mm from the page's upper left."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Word, *, by: float) -> bool:
        """Whether both share a patch wider and taller than so many mm."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        tall = min(self.bottom, other.bottom) - max(self.top, other.top)
        return wide > by and tall > by


@dataclass(frozen=True)
class Circle:
    """A circle of Bezier arcs, four or eight of them."""

    x: float
    y: float
    diameter: float


@dataclass
class Page:
    """One page."""

    page: pymupdf.Page

    @property
    def width(self) -> float:
        """In mm."""
        return float(self.page.rect.width) / MM

    @property
    def height(self) -> float:
        """In mm."""
        return float(self.page.rect.height) / MM

    @cached_property
    def words(self) -> list[Word]:
        """Its words; one that is drawn twice at one place, first as its own white edge, counts once."""
        found: dict[tuple[str, int, int], Word] = {}
        for x0, y0, x1, y1, text, *_ in self.page.get_text("words"):
            word = Word(text, x0 / MM, y0 / MM, x1 / MM, y1 / MM)
            found.setdefault((text, round(word.left * 2), round(word.top * 2)), word)
        return list(found.values())

    @cached_property
    def text(self) -> str:
        """All of it, lines joined."""
        return " ".join(self.page.get_text().split())

    @cached_property
    def polylines(self) -> list[list[Ends]]:
        """Paths of straight strokes, each as its corners."""
        found = []
        for drawing in self.page.get_drawings():
            corners: list[Ends] = []
            for item in drawing["items"]:
                if item[0] == "l":
                    start, stop = ((p.x / MM, p.y / MM) for p in item[1:3])
                    if not corners:
                        corners.append(start)
                    corners.append(stop)
                elif item[0] in ("re", "qu"):
                    quad = item[1].quad if item[0] == "re" else item[1]
                    corners += [(p.x / MM, p.y / MM) for p in (quad.ul, quad.ur, quad.lr, quad.ll)]
            if corners:
                found.append(corners)
        return found

    @cached_property
    def circles(self) -> list[Circle]:
        """Paths of arcs alone, all of whose ends lie on one circle."""
        found = []
        for drawing in self.page.get_drawings():
            if {item[0] for item in drawing["items"]} != {"c"} or len(drawing["items"]) < 4:
                continue
            ends = [(p.x / MM, p.y / MM) for item in drawing["items"] for p in (item[1], item[4])]
            (low_x, high_x), (low_y, high_y) = ((min(of), max(of)) for of in zip(*ends, strict=True))
            x, y, radius = (low_x + high_x) / 2, (low_y + high_y) / 2, (high_x - low_x) / 2
            if all(abs(math.dist(end, (x, y)) - radius) < 1e-3 for end in ends):
                found.append(Circle(x, y, 2 * radius))
        return found


def pages_of(raw: bytes) -> Iterator[Page]:
    """The pages of a PDF."""
    with pymupdf.open(stream=raw, filetype="pdf") as document:
        for page in document:
            yield Page(page)
