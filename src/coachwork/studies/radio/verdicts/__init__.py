"""Numbers of the radio in, findings out: one module for wishes, one for what nobody wished for."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding
from coachwork.studies.radio.result import RadioResult
from coachwork.studies.radio.verdicts import unwished, wished


def findings(result: RadioResult) -> Iterator[Finding]:
    """Wishes first."""
    yield from wished.findings(result)
    yield from unwished.findings(result)
