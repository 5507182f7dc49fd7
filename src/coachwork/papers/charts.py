"""Charts of the studies as SVG drawings, the same bytes for the same numbers.

Lines are told apart by dashes and markers, so that a grey print and a colour-blind eye lose nothing; the two greys and
the blue differ in lightness as well. Letters stay letters in the file: a reader can search and select them.
"""

from __future__ import annotations

import io
import textwrap
from itertools import count
from typing import TYPE_CHECKING, Any

import numpy as np

from coachwork.studies.chart import Chart, Line, Variant

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_IN, HEIGHT_IN = 6.4, 4.4
MARKS_A_LINE = 7
_LOOKS: dict[Variant, dict[str, Any]] = {
    "as bought": {"color": "#8c8c8c", "linestyle": (0, (5, 2)), "linewidth": 1.4},
    "as changed": {"color": "#0b3866", "linestyle": "-", "linewidth": 2.0},
    "reference": {"color": "#5a5a5a", "linestyle": (0, (1, 1.6)), "linewidth": 1.4},
}
_MARKERS: dict[Variant, str] = {"as bought": "osD^v", "as changed": "soDv^", "reference": "x+1234"}
SETTINGS: dict[str, Any] = {
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans", "Arial", "sans-serif"],
    "font.size": 10,
    "axes.unicode_minus": False,
    "text.parse_math": False,  # a builder's name may hold a dollar
}


def svg(chart: Chart) -> str:
    """The drawing as the text of an SVG file (W3C SVG 1.1); no date, no random ids in it."""
    import matplotlib as mpl
    from matplotlib.figure import Figure  # not pyplot: it would look for a display

    settings: Any = {**SETTINGS, "svg.hashsalt": chart.id}
    with mpl.rc_context(settings):
        figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN), layout="constrained")
        axes = figure.add_subplot()
        _draw(axes, chart)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Title": chart.title, "Creator": "coachwork", "Date": None})
    return out.getvalue()


def _draw(axes: Axes, chart: Chart) -> None:
    axes.set_title(chart.title, loc="left", fontsize=11, fontweight="bold")
    note = textwrap.fill(chart.note, 84)
    axes.set_xlabel(f"{chart.x_label}\n{note}" if note else chart.x_label)
    axes.set_ylabel(chart.y_label)
    axes.grid(color="#dddddd", linewidth=0.6)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    if chart.band is not None:
        low, high = chart.band
        axes.axhspan(low, high, facecolor="#e9eee9", edgecolor="#9fb09f", linewidth=0.8, label="would be right")
    seen = {variant: count() for variant in _LOOKS}
    drawn = [
        _line(axes, line, chart.label(line), next(seen[line.variant]), place) for place, line in enumerate(chart.lines)
    ]
    if not any(drawn):
        axes.text(0.5, 0.5, "no pose to draw", transform=axes.transAxes, ha="center")
    if axes.get_legend_handles_labels()[0]:
        axes.legend(loc="best", frameon=True, framealpha=0.9, edgecolor="none", fontsize=9, handlelength=3.2)


def _line(axes: Axes, line: Line, label: str, number: int, place: int) -> bool:
    """Draw a line; whether there was anything to see of it."""
    markers = _MARKERS[line.variant]
    axes.plot(
        line.x, line.y, label=label, marker=markers[number % len(markers)], markersize=4.5,
        markevery=_marked(line, place), **_LOOKS[line.variant],
    )  # fmt: skip
    return bool(np.isfinite(line.y).any())


def _marked(line: Line, place: int) -> list[int]:
    """Which points carry the line's marker: a few, shifted from line to line."""
    there = np.flatnonzero(np.isfinite(line.x) & np.isfinite(line.y))
    step = max(1, there.size // MARKS_A_LINE)
    return [int(index) for index in there[(place * step // 3) % step :: step]]
