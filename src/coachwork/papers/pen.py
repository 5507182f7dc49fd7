"""Strokes and words of our own small drawings as SVG: millimetres, y down the page, greys only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

LETTER = 0.62  # of its height, a letter's width: on the wide side for DejaVu Sans in mixed words
BOLD = 0.69
INK, SOFT, FAINT, PAPER = "#000000", "#4d4d4d", "#c8c8c8", "#ffffff"


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """How wide words come out, at most, mm."""
    return (BOLD if bold else LETTER) * size * len(text)


def fitted(text: str, size: float, room: float, *, least: float = 1.9, bold: bool = False) -> tuple[str, float]:
    """The words at a size that fits the room, shortened where even the least does not.

    >>> fitted("beacons", 2.6, 30.0)
    ('beacons', 2.6)
    >>> fitted("a" * 40, 2.6, 30.0)[0].endswith("…"), fitted("W2 separate lead, fuse 5 A", 2.6, 37.1)[0][-1]
    (True, 'A')
    """
    size = max(least, min(size, size * room / max(width_of(text, size, bold=bold), 1e-9)))
    most = int(room / ((BOLD if bold else LETTER) * size) + 1e-6)  # a text that just fits is whole
    return (text if len(text) <= most else f"{text[: max(1, most - 1)]}…"), size


@dataclass
class Strokes:
    """A drawing in the making."""

    parts: list[str] = field(default_factory=list)

    def line(self, *points: tuple[float, float], weight: float = 0.3, colour: str = INK, dashes: str = "",
             closed: bool = False, fill: str = "none", data: Sequence[tuple[str, str]] = ()) -> None:  # fmt: skip
        """Straight from point to point; `data` goes in as attributes data-NAME."""
        path = " L ".join(f"{x:.3f} {y:.3f}" for x, y in points) + (" Z" if closed else "")
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        extra = "".join(f" data-{name}={quoteattr(value)}" for name, value in data)
        self.parts.append(
            f'<path d="M {path}" fill="{fill}" stroke="{colour}" stroke-width="{weight}"{dashed}{extra}/>'
        )

    def box(self, x: float, y: float, width: float, height: float, *, weight: float = 0.3, fill: str = PAPER,
            colour: str = INK, dashes: str = "", data: Sequence[tuple[str, str]] = ()) -> None:  # fmt: skip
        """A rectangle by its upper left corner."""
        corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
        self.line(*corners, weight=weight, fill=fill, colour=colour, dashes=dashes, closed=True, data=data)

    def disc(self, x: float, y: float, radius: float, *, weight: float = 0.3, fill: str = "none",
             colour: str = INK) -> None:  # fmt: skip
        """A circle."""
        self.parts.append(
            f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{radius:.3f}" fill="{fill}" stroke="{colour}" '
            f'stroke-width="{weight}"/>'
        )

    def words(self, x: float, y: float, text: str, size: float = 2.6, *, anchor: str = "start", bold: bool = False,
              colour: str = INK, turned: bool = False, clear: bool = False) -> None:  # fmt: skip
        """Words on a base line, or up the page; `clear` keeps lines behind them off by a white edge."""
        weight = ' font-weight="bold"' if bold else ""
        turn = f' transform="rotate(-90 {x:.3f} {y:.3f})"' if turned else ""
        turn += ' stroke="#ffffff" stroke-width="0.7" paint-order="stroke"' if clear else ""
        self.parts.append(
            f'<text x="{x:.3f}" y="{y:.3f}" font-family="DejaVu Sans" font-size="{size:.2f}" fill="{colour}" '
            f'text-anchor="{anchor}"{weight}{turn}>{escape(text)}</text>'
        )

    def svg(self, *, x: float = 0.0, y: float = 0.0, width: float, height: float, title: str) -> str:
        """The part of the drawing from (x, y) on, as the text of an SVG file."""
        return "\n".join([
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm" '
            f'viewBox="{x:.3f} {y:.3f} {width:.3f} {height:.3f}">',
            f"<title>{escape(title)}</title>",
            f'<rect x="{x:.3f}" y="{y:.3f}" width="{width:.3f}" height="{height:.3f}" fill="#ffffff"/>',
            *self.parts, "</svg>", "",
        ])  # fmt: skip
