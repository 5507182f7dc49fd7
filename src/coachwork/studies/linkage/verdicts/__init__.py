"""Numbers in, findings out: wheels, what hangs on them, steering, live axles. No geometry here."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding
from coachwork.studies.linkage.axle import AxleResult
from coachwork.studies.linkage.result import LinkageResult
from coachwork.studies.linkage.verdicts.axle import of_axle
from coachwork.studies.linkage.verdicts.fittings import of_fittings
from coachwork.studies.linkage.verdicts.steering import of_steering
from coachwork.studies.linkage.verdicts.wheels import of_wheels


def findings(result: LinkageResult) -> Iterator[Finding]:
    """Every finding, front first."""
    for end in (result.front, result.rear):
        if isinstance(end, AxleResult):
            yield from of_axle(end)
            continue
        yield from of_wheels(end)
        yield from of_fittings(end)
        if end.steered:
            yield from of_steering(end)
