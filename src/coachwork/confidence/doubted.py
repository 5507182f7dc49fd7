"""Cures that stand on a number that looks wrong are not told as if it were right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Build, Doubt
from coachwork.plan import Answer, Plan, Sampled
from coachwork.studies.finding import Finding, Verdict
from coachwork.studies.watch import UNWATCHED, Watch

NUDGE = 1e-3  # of a number: enough to show in what hangs on it, too little to change what that is


def doubted(
    plan: Plan, build: Build, verdicts: Mapping[str, tuple[Verdict, ...]], answers: Mapping[str, Answer],
    watch: Watch = UNWATCHED,
) -> dict[str, tuple[Verdict, ...]]:  # fmt: skip
    """{study: its verdicts, those that hang on a doubted number with a cure that says so}. Raises Cancelled.

    Where a slip explains the number, the cure built on it is left out: its amount would be nonsense.
    """
    doubts = _doubts(build, answers.values())
    hanging = _hanging(plan, build, answers, tuple(doubts), watch) if doubts else {}
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


def _hanging(
    plan: Plan, build: Build, answers: Mapping[str, Answer], keys: tuple[str, ...], watch: Watch
) -> Mapping[str, tuple[str, ...]]:
    """{finding's id: those of the keys whose number moves its value or limit}; all studies over the same samples."""
    read = {key: held for answer in answers.values() for key, held in answer.everything_read().items()}
    columns = {}
    for j, key in enumerate(keys, start=1):  # sample 0 is the plain one
        held = read[key]
        assert held is not None
        columns[key] = np.full(len(keys) + 1, held.value)
        columns[key][j] += NUDGE * (abs(held.value) or 1.0)
    view = Sampled(samples=len(keys) + 1, columns=columns)
    moved = plan.run_moved(build, answers, view, watch, purpose="doubts")
    return {
        finding.id: tuple(key for key, moves in zip(keys, _moves(finding, len(keys)), strict=True) if moves)
        for name in answers
        for finding in moved[name].findings
    }


def _moves(finding: Finding, numbers: int) -> NDArray[np.bool_]:
    """Whether each number moves the finding's value or limit, or takes it away altogether; (numbers,)."""
    moves = np.zeros(numbers, dtype=bool)
    for array in (finding.value, finding.limit):
        if array is not None:
            over = np.broadcast_to(array, numbers + 1)
            moves |= ~np.isclose(over[1:], over[0], rtol=1e-9, atol=1e-12)
    return moves
