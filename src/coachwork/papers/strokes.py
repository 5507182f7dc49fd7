"""Strokes and words on a drawing in mm, y up the page, written as SVG (W3C SVG 1.1)."""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.sax.saxutils import escape

import numpy as np

from coachwork.build import Numbers

TEXT, SMALL = 3.0, 2.3  # mm high
LETTER = 0.56  # of its height, a letter's mean width
MARGIN = 12.0  # round the sheet


@dataclass
class Sheet:
    """Strokes and words in mm, y up; turned over when written."""

    parts: list[str] = field(default_factory=list)
    low: list[float] = field(default_factory=lambda: [np.inf, np.inf])
    high: list[float] = field(default_factory=lambda: [-np.inf, -np.inf])

    def _reach(self, *points: tuple[float, float]) -> None:
        for point in points:
            for a in range(2):
                self.low[a], self.high[a] = min(self.low[a], point[a]), max(self.high[a], point[a])

    def path(self, points: Numbers | list[tuple[float, float]], style: str, *, closed: bool = False) -> None:
        """A line through points."""
        line = [(float(x), float(y)) for x, y in points]
        self._reach(*line)
        steps = " L ".join(f"{x:.2f} {-y:.2f}" for x, y in line)
        self.parts.append(f'<path d="M {steps}{" Z" if closed else ""}" {style}/>')

    def rectangle(self, x0: float, y0: float, x1: float, y1: float, style: str) -> None:
        """Edges along the axes."""
        self.path([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], style, closed=True)

    def circle(self, x: float, y: float, radius: float, style: str) -> None:
        """Round a point."""
        self._reach((x - radius, y - radius), (x + radius, y + radius))
        self.parts.append(f'<circle cx="{x:.2f}" cy="{-y:.2f}" r="{radius:.2f}" {style}/>')

    def words(self, x: float, y: float, text: str, size: float = TEXT, anchor: str = "start", turn: bool = False,
              halo: bool = False) -> None:  # fmt: skip
        """Text on a base line, or up the page."""
        wide = LETTER * size * len(text)
        shift = {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        if turn:
            self._reach((x - size, y - shift), (x, y - shift + wide))
        else:
            self._reach((x - shift, y), (x - shift + wide, y + size))
        turned = f' transform="rotate(-90 {x:.2f} {-y:.2f})"' if turn else ""
        over = ' stroke="#ffffff" stroke-width="0.9" paint-order="stroke"' if halo else ""
        self.parts.append(
            f'<text x="{x:.2f}" y="{-y:.2f}" font-family="sans-serif" font-size="{size}" '
            f'text-anchor="{anchor}"{turned}{over}>{escape(text)}</text>'
        )

    def svg(self, title: str) -> str:
        """The whole drawing."""
        left, bottom = self.low[0] - MARGIN, self.low[1] - MARGIN
        width, height = self.high[0] + MARGIN - left, self.high[1] + MARGIN - bottom
        return "\n".join([
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{height:.2f}mm" '
            f'viewBox="{left:.2f} {-(bottom + height):.2f} {width:.2f} {height:.2f}">',
            f"<title>{escape(title)}</title>",
            '<defs><pattern id="hatch" width="2" height="2" patternUnits="userSpaceOnUse" '
            'patternTransform="rotate(45)"><rect width="2" height="2" fill="#f4f0ea"/>'
            '<path d="M 0 0 L 0 2" stroke="#a08c6e" stroke-width="0.5"/></pattern></defs>',
            f'<rect x="{left:.2f}" y="{-(bottom + height):.2f}" width="{width:.2f}" height="{height:.2f}" '
            'fill="#ffffff"/>',
            *self.parts, "</svg>", "",
        ])  # fmt: skip


def stroke(colour: str = "#000000", width: float = 0.25, fill: str = "none", dashes: str = "") -> str:
    """How a line and what it encloses look."""
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'fill="{fill}" stroke="{colour}" stroke-width="{width}"{dashed}'
