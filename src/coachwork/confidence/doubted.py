"""Cures that stand on a number that looks wrong are not told as if it were right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from coachwork.build import Build, Doubt
from coachwork.confidence.first_order import verdicts_of
from coachwork.plan import Answer, Plan
from coachwork.studies.finding import Verdict
from coachwork.studies.watch import UNWATCHED, Watch


def doubted(
    plan: Plan, build: Build, answers: Mapping[str, Answer], watch: Watch = UNWATCHED
) -> dict[str, tuple[Verdict, ...]]:
    """{study: its verdicts, those that hang on a doubted number with a cure that says so}. Raises Cancelled.

    Where a slip explains the number, the cure built on it is left out: its amount would be nonsense.
    """
    doubts = _doubts(build, answers.values())
    verdicts, hanging = verdicts_of(plan, build, answers.values(), watch, nudged=tuple(doubts))
    return {
        name: tuple(_with_care(one, [doubts[key] for key in hanging.get(one.id, ())]) for one in its)
        for name, its in verdicts.items()
    }


def may_hang(build: Build, answer: Answer) -> bool:
    """Whether a study has read, itself or through others, a number that is doubted."""
    return bool(_doubts(build, (answer,)))


def _doubts(build: Build, answers: Iterable[Answer]) -> dict[str, Doubt]:
    """Those of numbers that the answers read."""
    if not build.doubts:
        return {}
    read = {key for answer in answers for key, held in answer.everything_read().items() if held is not None}
    return {doubt.key: doubt for doubt in build.doubts if doubt.key in read}


def _with_care(verdict: Verdict, doubts: list[Doubt]) -> Verdict:
    if not doubts or (verdict.do is None and verdict.state != "fails"):
        return verdict
    if verdict.do is not None and verdict.do.startswith("measure "):
        return verdict  # the study says it better: which reading, and what would agree
    keys = " and ".join(doubt.key for doubt in doubts)
    look, it_is, it = ("it looks", "it is", "it") if len(doubts) == 1 else ("they look", "they are", "them")
    first = f"look at {keys} first: {look} wrong, and this hangs on {it}"
    if verdict.do is None or any(doubt.fits is not None for doubt in doubts):
        return replace(verdict, do=first)
    return replace(verdict, do=f"{first}. Only if {it_is} right: {verdict.do}")
