"""What a study is: a question, a function to a result, and the findings read off that result."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from coachwork.studies.chart import Chart
from coachwork.studies.finding import Finding


def _no_charts(_: Any) -> tuple[Chart, ...]:
    return ()


@dataclass(frozen=True, kw_only=True)
class Study:
    """One question answered by computation.

    name     : its folder's name; ids of its findings begin with it
    question : in the builder's words, the heading of its verdicts
    compute  : pure function; its parameters are build sections and other studies' results, found by their types
    findings : reads findings off the result; one id once, the same ids whatever the numbers
    charts   : curves read off the result, for a study that has any
    order    : where its question stands in the builder's job (10 look, 20 sit, 30 move, ...)
    """

    name: str
    question: str
    compute: Callable[..., Any]
    findings: Callable[[Any], Iterable[Finding]]
    order: int
    charts: Callable[[Any], Iterable[Chart]] = _no_charts
