"""Numbers of the wiring in, findings out: one module for each thing that can be short of something."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding
from coachwork.studies.wiring.result import WiringResult
from coachwork.studies.wiring.verdicts import joints, leads, lights, loads, pack, regulators


def findings(result: WiringResult) -> Iterator[Finding]:
    """From the pack outward."""
    for part in (pack, joints, regulators, leads, loads, lights):
        yield from part.findings(result)
