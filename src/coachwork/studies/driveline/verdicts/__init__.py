"""Findings on the drive: gears that mesh, then speed and ramp, then heat."""

from collections.abc import Iterator

from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.driveline.verdicts import gears, heat, speed
from coachwork.studies.finding import Finding


def findings(result: DrivelineResult) -> Iterator[Finding]:
    """All of them."""
    yield from gears.findings(result)
    yield from speed.findings(result)
    yield from heat.findings(result)
