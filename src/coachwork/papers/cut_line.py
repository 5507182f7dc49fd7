"""A cut line at 1:1 as SVG or DXF: outline, datum lines, and a rule of 100 mm to check the printer by.

SVG: W3C SVG 1.1, sizes in millimetres. DXF: R2010, drawing units millimetres ($INSUNITS 4), a layer for each kind of
line: CUT, DATUM, RULE. Both are drawn as seen from outside, to be laid on the skin.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from coachwork.studies.clearance.flat import Outline

RULE_MM = 100.0
MARGIN_MM = 8.0
TEXT_MM = 3.0
_STROKES = {"CUT": ("#000000", 0.25, ""), "DATUM": ("#5a5a5a", 0.18, "4 1.5 0.6 1.5"), "RULE": ("#000000", 0.25, "")}
_COLOURS = {"CUT": 7, "DATUM": 8, "RULE": 7}  # DXF group code 62: 7 black or white, 8 grey


@dataclass(frozen=True)
class Stroke:
    """A line of the drawing, mm, y up."""

    layer: str
    points: NDArray[np.float64]  # (n, 2)
    closed: bool = False


@dataclass(frozen=True)
class Label:
    """Words of the drawing; their left end on the base line."""

    at: tuple[float, float]
    text: str


def strokes(of: Outline) -> Iterator[Stroke | Label]:
    """All that is drawn, the outline where it lies on the vehicle, the rule below it."""
    points = np.concatenate(of.lines)
    low, high = points.min(axis=0), points.max(axis=0)
    for line in of.lines:
        yield Stroke("CUT", line[:-1], closed=True)
    x, y = of.datum
    if low[0] - 60 < x < high[0] + 60:
        ends = (low[1] - 6, high[1] + 6)
        yield Stroke("DATUM", np.array([[x, ends[0]], [x, ends[1]]]))
        yield Label((float(x) + 1.0, float(ends[1]) - TEXT_MM), "axle line")
    height = float(low[1] - y)
    yield Stroke("DATUM", np.array([[low[0] - 6, low[1]], [high[0] + 6, low[1]]]))
    what = "the flat underside" if of.seen_from != "above" else "the centreline"
    yield Label((float(low[0]) - 6, float(low[1]) - TEXT_MM - 1.0), f"{height:.1f} mm along the skin from {what}")
    yield from _rule(float(low[0]), float(low[1]) - 3 * TEXT_MM - 6.0)
    words = f"{of.wheel}: cut along the line, through the wall; lay it on from outside, seen from {of.seen_from}"
    yield Label((float(low[0]) - 6, float(high[1]) + 8.0), words)


def _rule(x: float, y: float) -> Iterator[Stroke | Label]:
    yield Stroke("RULE", np.array([[x, y], [x + RULE_MM, y]]))
    for tick in range(11):
        long = 3.0 if tick % 5 == 0 else 1.8
        at = x + tick * RULE_MM / 10
        yield Stroke("RULE", np.array([[at, y], [at, y + long]]))
    yield Label((x, y - TEXT_MM - 1.0), "check rule: 100 mm; print at 100 %, not fitted to the page")


def svg(of: Outline, title: str) -> str:
    """The drawing as the text of an SVG file."""
    drawn = list(strokes(of))
    points = np.concatenate([one.points if isinstance(one, Stroke) else np.array([one.at]) for one in drawn])
    wide = max(
        [
            float(points[:, 0].max()),
            *(one.at[0] + 0.55 * TEXT_MM * len(one.text) for one in drawn if isinstance(one, Label)),
        ]
    )
    left, top = float(points[:, 0].min()) - MARGIN_MM, float(points[:, 1].max()) + MARGIN_MM + TEXT_MM
    width, height = wide + MARGIN_MM - left, top - float(points[:, 1].min()) + MARGIN_MM
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm" '
        f'viewBox="0 0 {width:.3f} {height:.3f}">',
        f"<title>{escape(title)}</title>",
        f'<rect width="{width:.3f}" height="{height:.3f}" fill="#ffffff"/>',
    ]
    for one in drawn:
        if isinstance(one, Label):
            lines.append(
                f'<text x="{one.at[0] - left:.3f}" y="{top - one.at[1]:.3f}" font-family="sans-serif" '
                f'font-size="{TEXT_MM}">{escape(one.text)}</text>'
            )
            continue
        colour, weight, dashes = _STROKES[one.layer]
        path = " L ".join(f"{x - left:.3f} {top - y:.3f}" for x, y in one.points) + (" Z" if one.closed else "")
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        lines.append(
            f'<path class="{one.layer.lower()}" d="M {path}" fill="none" stroke="{colour}" '
            f'stroke-width="{weight}"{dashed}/>'
        )
    return "\n".join([*lines, "</svg>", ""])


def dxf(of: Outline) -> str:
    """The drawing as the text of a DXF file."""
    from ezdxf import units
    from ezdxf.document import Drawing

    document = Drawing.new("R2010")
    document.units = units.MM
    for layer, colour in _COLOURS.items():
        document.layers.add(layer, color=colour)
    space = document.modelspace()
    for one in strokes(of):
        if isinstance(one, Label):
            space.add_text(one.text, height=TEXT_MM, dxfattribs={"layer": "RULE", "insert": one.at})
        else:
            space.add_lwpolyline(one.points.tolist(), close=one.closed, dxfattribs={"layer": one.layer})
    out = io.StringIO()
    document.write(out)
    return out.getvalue()
