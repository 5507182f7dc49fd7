"""The wiring drawn: pack at the left, rails upright, every wire with its gauge, length, colours and connector.

As many rows a page as fit; rails go on from page to page. Every wire, regulator and end carries what it joins as
attributes (`data-from`, `data-to`, ...), so that the netlist can be read back from the drawing itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from coachwork.papers.pen import FAINT, SOFT, Strokes, fitted, width_of
from coachwork.papers.told import called
from coachwork.papers.wiring_rows import Rail, Rows, Span

PITCH_MM = 15.0
TOP_MM, FOOT_MM = 10.0, 9.0
PACK_MM, END_MM = 20.0, 37.0  # how wide the pack and the boxes at the rows' ends are
SIZE, SMALL = 2.7, 2.45
_LEAST_MM, _REGULATOR_MM = 26.0, 32.0


@dataclass(frozen=True, kw_only=True)
class Labels:
    """Words of the drawing.

    wires      : by lead: one line above the wire and two below it
    regulators : by name: what stands in its box under the name
    ends       : by load or string: what stands in its box under the name
    pack       : under the word in the pack's box
    """

    wires: Mapping[str, tuple[str, str, str]]
    regulators: Mapping[str, str]
    ends: Mapping[str, str]
    pack: str


@dataclass(frozen=True, kw_only=True)
class DrawnPage:
    """One page of it."""

    svg: str
    width_mm: float
    height_mm: float
    first: int
    last: int


def pages(rows: Rows, labels: Labels, *, width_mm: float, height_mm: float, title: str) -> Iterator[DrawnPage]:
    """The drawing, cut between rows into pieces no larger than a page's."""
    places = _columns(rows, labels, width_mm)
    each = max(1, int((height_mm - TOP_MM - FOOT_MM) / PITCH_MM) + 1)
    for first in range(0, rows.rows, each):
        last = min(first + each, rows.rows) - 1
        yield _Page(rows, labels, places, width_mm, first, last).drawn(title)


def _columns(rows: Rows, labels: Labels, width_mm: float) -> list[float]:
    """Where the rails of each column stand, and where the boxes at the ends begin; mm."""
    wanted = [_LEAST_MM] * rows.columns
    for span in rows.spans:
        room = 0.0 if span.regulator is None else _REGULATOR_MM
        if span.lead is not None and span.to_rail is not None:
            room = max(width_of(text, SMALL) for text in labels.wires[span.lead.name]) + 6
        wanted[span.column] = max(wanted[span.column], room)
    room = width_mm - PACK_MM - 6 - END_MM
    share = min(1.0, room / sum(wanted))
    starts = [PACK_MM + 6.0]
    for one in wanted:
        starts.append(starts[-1] + one * share)
    starts[-1] = max(starts[-1], starts[-2] + 4)
    return starts


class _Page:
    """The rows first to last."""

    def __init__(self, rows: Rows, labels: Labels, places: list[float], width_mm: float, first: int, last: int) -> None:
        self.rows, self.labels, self.places, self.width_mm = rows, labels, places, width_mm
        self.first, self.last = first, last
        self.columns = {rail.node: rail.column for rail in rows.rails}
        self.paper = Strokes()

    def y(self, row: float) -> float:
        return TOP_MM + (row - self.first) * PITCH_MM

    def drawn(self, title: str) -> DrawnPage:
        self._pack()
        for span in self.rows.spans:
            if self.first <= span.row <= self.last:
                self._span(span)
        for rail in self.rows.rails:
            if rail.first <= self.last and rail.last >= self.first:
                self._rail(rail)
        height = TOP_MM + (self.last - self.first) * PITCH_MM + FOOT_MM
        return DrawnPage(
            svg=self.paper.svg(width=self.width_mm, height=height, title=title), width_mm=self.width_mm,
            height_mm=height, first=self.first, last=self.last,
        )  # fmt: skip

    def _pack(self) -> None:
        fed = [rail for rail in self.rows.rails if rail.root in ("pack", "tap")]
        here = [rail for rail in fed if rail.first <= self.last and rail.last >= self.first]
        if not here:
            return
        top = self.y(max(self.first, min(rail.first for rail in here))) - 6.5
        bottom = self.y(min(self.last, max(rail.first for rail in here))) + 5.5
        self.paper.box(0.2, top, PACK_MM, max(bottom - top, 16), weight=0.6)
        self.paper.words(PACK_MM / 2, top + 4.5, "pack", 3.0, anchor="middle", bold=True)
        for line, words in enumerate(self.labels.pack.split("\n")):
            told, size = fitted(words, SMALL, PACK_MM - 2, least=1.5)
            self.paper.words(PACK_MM / 2, top + 8 + 3 * line, told, size, anchor="middle")
        for rail in here:
            if self.first <= rail.first <= self.last:
                self.paper.line((PACK_MM + 0.2, self.y(rail.first)), (self.places[0], self.y(rail.first)), weight=0.6)

    def _rail(self, rail: Rail) -> None:
        x, y0, y1 = self.places[rail.column], self.y(rail.first), self.y(rail.last)
        starts, stops = rail.first >= self.first, rail.last <= self.last
        y0 = y0 if starts else self.y(self.first) - 9
        y1 = y1 if stops else self.y(self.last) + 6
        self.paper.line((x, y0), (x, max(y1, y0 + 1.5)), weight=1.1, data=(("rail", rail.node),) if starts else ())
        if not stops:
            self.paper.line((x - 1.2, y1 - 1.6), (x, y1), (x + 1.2, y1 - 1.6), weight=0.5)
        name = called(rail.node) + ("" if starts else ", goes on")
        name += " (fed by nothing yet)" if rail.root == "unfed" else ""
        # No wider than to the next rail: there may be a name there, too.
        told, size = fitted(name, SIZE, self.places[rail.column + 1] - x - 2.5, least=1.7, bold=True)
        if starts:
            self.paper.words(x - 0.6, y0 - 6.0, told, size, bold=True)
        else:
            self.paper.words(x + 1.4, self.y(self.first) - 6.0, told, size, bold=True)

    def _span(self, span: Span) -> None:
        x0, y = self.places[span.column], self.y(span.row)
        # A name of a rail stands over its first row, so a wire's own words keep to their column.
        room = self.places[span.column + 1] - x0 - 5
        if span.to_rail is not None:
            x1, ends = self.places[self.columns[span.to_rail]], span.to_rail
        else:
            x1, ends = self.width_mm - END_MM, span.end_node
        if span.regulator is not None:
            self._regulator(span, x0, x1, y, ends)
        elif span.lead is not None:
            lead = span.lead
            data = (("wire", lead.name), ("from", lead.begins), ("to", lead.ends))
            self.paper.line((x0, y), (x1, y), weight=0.5, data=data)
            if lead.switch:
                self._switch(x0 + 1.4, y)
            if span.to_rail is None:
                room = x1 - x0 - 5
            for dy, words in zip((-1.3, 3.1, 6.1), self.labels.wires[lead.name], strict=True):
                told, size = fitted(words, SMALL, room, least=1.7)
                self.paper.words(x0 + 4.4, y + dy, told, size)
        else:
            self.paper.line((x0, y), (x1, y), weight=0.5, dashes="1.2 1")
        if span.end is not None:
            self._end(span, x1, y)

    def _switch(self, x: float, y: float) -> None:
        self.paper.disc(x, y, 0.9, fill="#ffffff", weight=0.4)
        self.paper.line((x, y), (x + 2.4, y - 1.9), weight=0.5)

    def _regulator(self, span: Span, x0: float, x1: float, y: float, ends: str) -> None:
        name = span.regulator or ""
        data = (("regulator", name), ("input", span.from_node), ("output", ends))
        wide = min(self.places[span.column + 1] - x0 - 6, _REGULATOR_MM)
        self.paper.line((x0, y), (x1, y), weight=0.5)
        self.paper.box(x0 + 3, y - 3.6, wide, 8.2, weight=0.5, data=data)
        for dy, words, bold in ((-0.3, called(name), True), (3.1, self.labels.regulators[name], False)):
            told, size = fitted(words, SMALL, wide - 2, least=1.6, bold=bold)
            self.paper.words(x0 + 3 + wide / 2, y + dy, told, size, anchor="middle", bold=bold)

    def _end(self, span: Span, x: float, y: float) -> None:
        assert span.end is not None
        kind, name = span.end
        wide = END_MM - 0.4
        if kind == "nothing":
            self.paper.words(x + 1, y + 0.9, "nothing hangs here", SMALL, colour=SOFT)
            return
        if kind == "node":
            self.paper.line((x, y - 3), (x + wide - 4, y - 3), (x + wide, y), (x + wide - 4, y + 3), (x, y + 3),
                            weight=0.4, closed=True)  # fmt: skip
            told, size = fitted(f"to {called(name)}, above or below", SMALL, wide - 6, least=1.5)
            self.paper.words(x + 1.5, y + 0.9, told, size)
            return
        data = ((kind, name), ("node", span.end_node))
        self.paper.box(x, y - 4.4, wide, 8.8, weight=0.5, data=data, fill="#ffffff" if kind == "load" else "#f2f2f2")
        words, below = called(name), self.labels.ends.get(name, "")
        two = width_of(words, 2.1, bold=True) > wide - 2  # two lines, and the volts stay in the table
        words, below = _halves(words) if two else (words, below)
        for dy, line, most, bold in ((-0.7, words, SIZE, True), (3.0, below, SMALL, two)):
            told, size = fitted(line, most, wide - 2, least=1.7, bold=bold)
            self.paper.words(x + 1.2, y + dy, told, size, bold=bold)
        self.paper.line((x + 0.2, y + 4.4), (x + wide - 0.2, y + 4.4), weight=0.2, colour=FAINT)


def _halves(words: str) -> tuple[str, str]:
    """A name in two lines about as long.

    >>> _halves("side marker lamps left")
    ('side marker', 'lamps left')
    """
    each = words.split(" ")
    cut = min(range(1, len(each) + 1), key=lambda at: abs(2 * len(" ".join(each[:at])) - len(words)))
    return " ".join(each[:cut]), " ".join(each[cut:])
