"""The study's curves: over travel and over lock, as bought against as changed."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.chart import Chart
from coachwork.studies.linkage.axle import AxleResult
from coachwork.studies.linkage.charts.axle import of_axle
from coachwork.studies.linkage.charts.corner import of_end
from coachwork.studies.linkage.result import LinkageResult


def charts(result: LinkageResult) -> Iterator[Chart]:
    """Every curve there are numbers for."""
    for end in (result.front, result.rear):
        offered = of_axle(end) if isinstance(end, AxleResult) else of_end(end)
        yield from (chart for chart in offered if chart.lines)
