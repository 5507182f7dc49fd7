"""Numbers of the stance in, findings out: one module for each direction, one for tyres, one for donors."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding
from coachwork.studies.stance.result import StanceResult
from coachwork.studies.stance.verdicts import across, along, donors, tyres, upright


def findings(result: StanceResult) -> Iterator[Finding]:
    """Along, across, up, tyres, donors."""
    for direction in (along, across, upright, tyres, donors):
        yield from direction.findings(result)
