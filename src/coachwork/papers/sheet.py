"""What a paper is before it is set in type: headings, words, tables, drawings, boxes to write in. Plain data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

PaperSize = Literal["a4", "letter"]


@dataclass(frozen=True, kw_only=True)
class WriteIn:
    """A box to write in, in place of a table's cell; `unit` stands behind it in grey.

    labels : what stands before each box where there are several, such as x, y, z
    """

    unit: str = ""
    labels: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Tick:
    """A square to tick."""


Cell: TypeAlias = str | WriteIn | Tick


@dataclass(frozen=True)
class Heading:
    """Level 1 or 2 below the paper's title."""

    text: str
    level: int = 1


@dataclass(frozen=True)
class Words:
    """A paragraph. `strong` is set bold, `small` is for notes."""

    text: str
    look: Literal["plain", "strong", "small"] = "plain"


@dataclass(frozen=True)
class Points:
    """A list of short paragraphs."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Caution:
    """What may hurt somebody, in a frame."""

    text: str


@dataclass(frozen=True)
class Gap:
    """What would stand here if it were known, and why it does not."""

    what: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows under heads that are repeated on each page.

    widths : of each column, shares of what is left of the page's width; 0 takes as little as it needs
    small  : set in small letters, for what is looked up and not read
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    widths: tuple[float, ...]
    title: str = ""
    note: str = ""
    small: bool = False

    def __post_init__(self) -> None:
        odd = [row for row in self.rows if len(row) != len(self.heads)]
        if odd or len(self.widths) != len(self.heads):
            raise ValueError(f"table {self.title or self.heads}: {len(self.heads)} columns, but not in all rows")


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A drawing as SVG; no wider than the page, nor than `width_mm`, nor higher than `height_mm` where given."""

    svg: str
    alt: str
    caption: str = ""
    width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True)
class NewPage:
    """What follows begins on a new page."""


@dataclass(frozen=True, kw_only=True)
class FullPage:
    """A page of its own that a drawing fills from edge to edge at exactly its own size; nothing else stands on it."""

    svg: str
    alt: str
    width_mm: float
    height_mm: float


Block: TypeAlias = Heading | Words | Points | Caution | Gap | Table | Figure | NewPage | FullPage


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One paper, to become one PDF file.

    name  : of the file, without its ending
    title : on its first page and in the PDF's properties
    about : one sentence, what it is for
    """

    name: str
    title: str
    about: str
    blocks: tuple[Block, ...]
    landscape: bool = False
