"""A study's curve as plain data."""

from __future__ import annotations

from typing import Any

import numpy as np

from coachwork.confidence.json_form import Json
from coachwork.studies.chart import Chart


def chart_form(chart: Chart) -> dict[str, Any]:
    """A curve as plain data; null in y where there is no pose."""
    return {
        "id": chart.id, "title": chart.title, "x": chart.x_label, "y": chart.y_label, "note": chart.note,
        "band": None if chart.band is None else list(chart.band),
        "lines": [
            {"name": line.name, "variant": line.variant, "x": _listed(line.x), "y": _listed(line.y)}
            for line in chart.lines
        ],
    }  # fmt: skip


def _listed(values: Any) -> list[Json]:
    return [round(float(value), 6) if np.isfinite(value) else None for value in np.ravel(values)]
