"""The few strokes our drawings are made of: outlines, dimension lines, numbered keys. Writes plain SVG.

Page coordinates are SVG's: right and down, one unit about a pixel. A `View` maps millimetres of a vehicle onto them.
Colours are greys only and the page is white, so a drawing reads the same on paper and on a dark screen. `Sheet.svg`
refuses a drawing whose texts run into each other or off the page: nobody has to look for that again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

Point = tuple[float, float]
INK, SOFT, FAINT, PAPER = "#1a1a1a", "#6b6b6b", "#d9d9d9", "#ffffff"
SANS = "DejaVu Sans, Verdana, Arial, sans-serif"
MONO = "DejaVu Sans Mono, Consolas, Menlo, monospace"
KEY_SIZE, WORD_SIZE = 14.0, 13.5
DISC = 9.5  # radius of the disc round a number
MONO_ADVANCE, SANS_ADVANCE = 0.61, 0.58  # of the size, a character: generous for the fonts named above


@dataclass(frozen=True)
class View:
    """From two directions of the vehicle, in mm, to the page: `right` and `up` are the page's senses of them."""

    origin: Point
    scale: float
    right: float = 1.0
    up: float = 1.0

    def __call__(self, across: float, along: float) -> Point:
        return self.origin[0] + self.right * self.scale * across, self.origin[1] - self.up * self.scale * along


@dataclass
class Sheet:
    """One drawing."""

    width: float
    height: float
    title: str
    about: str
    parts: list[str] = field(default_factory=list)
    boxes: list[tuple[float, float, float, float, str]] = field(default_factory=list)

    # --- strokes

    def line(
        self,
        points: Sequence[Point],
        *,
        weight: float = 1.6,
        colour: str = INK,
        dash: str = "",
        fill: str = "none",
        closed: bool = False,
    ) -> None:
        """Straight from point to point."""
        steps = ["M", points[0], "L", *points[1:], *(["Z"] if closed else [])]
        self.path(*steps, weight=weight, colour=colour, dash=dash, fill=fill)

    def path(
        self, *given: str | Point, weight: float = 1.6, colour: str = INK, dash: str = "", fill: str = "none"
    ) -> None:
        """Any SVG path: its letters (with whatever is no point) and its points, in SVG's order."""
        steps = " ".join(step if isinstance(step, str) else f"{_n(step[0])} {_n(step[1])}" for step in given)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<path d="{steps}" fill="{fill}" stroke="{colour}" stroke-width="{_n(weight)}"{dashed} '
            'stroke-linejoin="round" stroke-linecap="round"/>'
        )

    def circle(self, centre: Point, radius: float, *, weight: float = 1.6, colour: str = INK, fill: str = "none",
               dash: str = "") -> None:  # fmt: skip
        """A circle."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<circle cx="{_n(centre[0])}" cy="{_n(centre[1])}" r="{_n(radius)}" fill="{fill}" stroke="{colour}" '
            f'stroke-width="{_n(weight)}"{dashed}/>'
        )

    def arc(self, centre: Point, radius: float, start_deg: float, end_deg: float, *, weight: float = 1.4,
            colour: str = INK, heads: str = "") -> None:  # fmt: skip
        """Part of a circle, angles counted from the right, upward; `heads` "end" or "both" puts arrowheads on."""
        turn = [start_deg + (end_deg - start_deg) * i / 24 for i in range(25)]
        points = [_polar(centre, radius, angle) for angle in turn]
        self.line(points, weight=weight, colour=colour)
        if heads:
            self._head(points[-3], points[-1], colour)
        if heads == "both":
            self._head(points[2], points[0], colour)

    def arrow(self, start: Point, end: Point, *, weight: float = 1.4, colour: str = INK, both: bool = False) -> None:
        """A straight arrow."""
        self.line([start, end], weight=weight, colour=colour)
        self._head(start, end, colour)
        if both:
            self._head(end, start, colour)

    def _head(self, start: Point, tip: Point, colour: str) -> None:
        angle = math.atan2(tip[1] - start[1], tip[0] - start[0])
        wings = [(tip[0] - 9 * math.cos(angle + w), tip[1] - 9 * math.sin(angle + w)) for w in (0.3, -0.3)]
        self.line([wings[0], tip, wings[1]], weight=0.8, colour=colour, fill=colour, closed=True)

    # --- words

    def text(self, at: Point, words: str, *, size: float = WORD_SIZE, anchor: str = "start", mono: bool = False,
             bold: bool = False, turned: bool = False, colour: str = INK, keep_clear: bool = True) -> None:  # fmt: skip
        """Words with a white edge, so that a line behind them does not matter. `at` is the middle of the line's side.

        turned : reads upward
        """
        width = len(words) * size * (MONO_ADVANCE if mono else SANS_ADVANCE)
        left = {"start": 0.0, "middle": -width / 2, "end": -width}[anchor]
        box = (left, -size * 0.6, left + width, size * 0.6)
        x, y = at
        if keep_clear:
            low_x, low_y, high_x, high_y = (box[1], -box[2], box[3], -box[0]) if turned else box
            self.boxes.append((x + low_x, y + low_y, x + high_x, y + high_y, words))
        turn = f' transform="rotate(-90 {_n(x)} {_n(y)})"' if turned else ""
        common = (
            f'x="{_n(x)}" y="{_n(y + size * 0.36)}" font-family="{MONO if mono else SANS}" font-size="{_n(size)}" '
            f'text-anchor="{anchor}"{" font-weight=" + chr(34) + "bold" + chr(34) if bold else ""}{turn}'
        )
        self.parts.append(
            f'<text {common} stroke="{PAPER}" stroke-width="4" stroke-linejoin="round">{escape(words)}</text>'
        )
        self.parts.append(f'<text {common} fill="{colour}">{escape(words)}</text>')

    def heading(self, words: str, beneath: str = "") -> None:
        """The drawing's title and one line under it."""
        self.text((24, 26), words, size=18, bold=True)
        if beneath:
            self.text((24, 50), beneath, colour=SOFT)

    def key(self, at: Point, number: int | None, words: str, *, anchor: str = "start", turned: bool = False) -> None:
        """A numbered disc and a key of the build file behind it; `at` is the middle of the line's side."""
        lead = 2 * DISC + 6 if number is not None else 0.0
        width = lead + len(words) * KEY_SIZE * MONO_ADVANCE
        start = {"start": 0.0, "middle": -width / 2, "end": -width}[anchor]
        x, y = at
        low, high = start - 3, start + width + 3
        x0, y0, wide, tall = (x - 9, y - high, 18.0, high - low) if turned else (x + low, y - 9, high - low, 18.0)
        self.parts.append(
            f'<rect x="{_n(x0)}" y="{_n(y0)}" width="{_n(wide)}" height="{_n(tall)}" rx="3" fill="{PAPER}"/>'
        )
        if number is not None:
            off = start + DISC
            self.disc((x, y - off) if turned else (x + off, y), number)
        off = start + lead
        self.text((x, y - off) if turned else (x + off, y), words, size=KEY_SIZE, mono=True, turned=turned)

    def disc(self, centre: Point, number: int) -> None:
        """A number in a disc."""
        self.circle(centre, DISC, fill=INK, colour=PAPER)
        x, y = centre
        self.boxes.append((x - DISC, y - DISC, x + DISC, y + DISC, f"disc {number}"))
        self.parts.append(
            f'<text x="{_n(x)}" y="{_n(y + 4.4)}" font-family="{SANS}" font-size="12" font-weight="bold" '
            f'text-anchor="middle" fill="{PAPER}">{number}</text>'
        )

    # --- dimensions

    def across(self, start: Point, end: Point, y: float, number: int | None, words: str, *, beside: str = "on",
               mono: bool = True) -> None:  # fmt: skip
        """A horizontal dimension at height `y` between two points; `beside` "left" or "right" where it is narrow."""
        for x, from_y in (start, end):
            self.line([(x, from_y), (x, y + (5 if y > from_y else -5))], weight=0.8, colour=SOFT)
        left, right = sorted((start[0], end[0]))
        self._span((left, y), (right, y), (1, 0), narrow=right - left < 26)
        at, anchor = {"on": (((left + right) / 2, y), "middle"), "left": ((left - 30, y), "end"),
                      "right": ((right + 30, y), "start"), "above": (((left + right) / 2, y - 15), "middle"),
                      "below": (((left + right) / 2, y + 15), "middle")}[beside]  # fmt: skip
        self._label(at, number, words, anchor, False, mono)

    def upright(self, start: Point, end: Point, x: float, number: int | None, words: str, *, beside: str = "on",
                mono: bool = True) -> None:  # fmt: skip
        """A vertical dimension at `x`; its words read upward, or level where `beside` is "left" or "right"."""
        for from_x, y in (start, end):
            self.line([(from_x, y), (x + (5 if x > from_x else -5), y)], weight=0.8, colour=SOFT)
        top, bottom = sorted((start[1], end[1]))
        self._span((x, top), (x, bottom), (0, 1), narrow=bottom - top < 26)
        middle = (top + bottom) / 2
        at, anchor = {"on": ((x, middle), "middle"), "left": ((x - 8, middle), "end"),
                      "right": ((x + 8, middle), "start"), "above": ((x, top - 30), "middle")}[beside]  # fmt: skip
        self._label(at, number, words, anchor, beside == "on", mono)

    def _label(self, at: Point, number: int | None, words: str, anchor: str, turned: bool, mono: bool) -> None:
        if not words:
            return
        if mono:
            self.key(at, number, words, anchor=anchor, turned=turned)
            return
        if anchor == "middle" and not turned:
            half = len(words) * WORD_SIZE * 0.27 + 4
            self.line([(at[0] - half, at[1]), (at[0] + half, at[1])], weight=8, colour=PAPER)
        self.text(at, words, anchor=anchor, turned=turned)

    def _span(self, first: Point, last: Point, along: Point, *, narrow: bool) -> None:
        if not narrow:
            self.arrow(first, last, both=True, weight=1.1)
            return
        for tip, sense in ((first, -1), (last, 1)):  # arrows from outside, pointing in
            tail = (tip[0] + sense * 24 * along[0], tip[1] + sense * 24 * along[1])
            self.arrow(tail, tip, weight=1.1)

    def leader(self, label: Point, target: Point, number: int | None, words: str, *, anchor: str = "start",
               mono: bool = True, bend: Point | None = None) -> None:  # fmt: skip
        """Words somewhere clear, and a thin line from them to a dot on what they name."""
        start = (label[0] + {"start": -5, "end": 5, "middle": 0}[anchor], label[1])
        width = len(words) * (KEY_SIZE * MONO_ADVANCE if mono else WORD_SIZE * 0.5)
        width += 2 * DISC + 6 if number is not None else 0.0
        if anchor == "start" and target[0] > label[0] + width:
            start = (label[0] + width + 3, label[1])
        if anchor == "end" and target[0] < label[0] - width:
            start = (label[0] - width - 3, label[1])
        if anchor == "middle":
            start = (label[0], label[1] + (11 if target[1] > label[1] else -11))
        self.line([start, *([bend] if bend else []), target], weight=0.9, colour=SOFT)
        self.circle(target, 3.2, fill=INK, colour=PAPER, weight=1)
        self._label(label, number, words, anchor, False, mono)

    # --- out

    def svg(self) -> str:
        """The file's text. Raises ValueError where words run into each other or off the page."""
        for i, (x0, y0, x1, y1, words) in enumerate(self.boxes):
            if x0 < 2 or y0 < 2 or x1 > self.width - 2 or y1 > self.height - 2:
                raise ValueError(f"{self.title}: {words!r} runs off the page")
            for a0, b0, a1, b1, other in self.boxes[:i]:
                if x0 < a1 and a0 < x1 and y0 < b1 and b0 < y1:
                    raise ValueError(f"{self.title}: {words!r} runs into {other!r}")
        body = "\n".join(self.parts)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(self.width)} {_n(self.height)}" '
            f'width="{_n(self.width)}" height="{_n(self.height)}" role="img">\n<title>{escape(self.title)}</title>\n'
            f"<desc>{escape(self.about)}</desc>\n"
            f'<rect width="{_n(self.width)}" height="{_n(self.height)}" fill="{PAPER}"/>\n{body}\n</svg>\n'
        )


Draw = Callable[[], Sheet]


def _n(value: float) -> str:
    """Two decimals are finer than any screen; rounding keeps the bytes the same on every machine."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) >= 0.005 else "0"


def _polar(centre: Point, radius: float, angle_deg: float) -> Point:
    angle = math.radians(angle_deg)
    return centre[0] + radius * math.cos(angle), centre[1] - radius * math.sin(angle)
