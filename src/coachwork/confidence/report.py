"""Everything computed of a build, in one object: the same verdicts for terminal, page, PDF and JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from coachwork.build import Build
from coachwork.confidence.doubted import doubted
from coachwork.confidence.first_order import verdicts_of
from coachwork.confidence.next_step import NextStep, next_steps
from coachwork.plan import Answer, Plan, Progress
from coachwork.studies.finding import STATES, Verdict


@dataclass(frozen=True, kw_only=True, eq=False)
class Report:
    """A build, the studies' answers, their verdicts, and what to measure next."""

    build: Build
    answers: Mapping[str, Answer]
    verdicts: tuple[Verdict, ...]  # in the builder's order of questions, worst first within each
    next_steps: tuple[NextStep, ...]

    def of(self, study: str) -> tuple[Verdict, ...]:
        """One study's verdicts, worst first."""
        return tuple(verdict for verdict in self.verdicts if verdict.study == study)

    @property
    def fails(self) -> bool:
        """Whether anything fails."""
        return any(verdict.state == "fails" for verdict in self.verdicts)


def examine(
    build: Build,
    *,
    plan: Plan | None = None,
    only: Iterable[str] | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Report:
    """Answer the build's questions (all, or only those of some studies) and weigh the spreads.

    Raises KeyError for an unknown study, plan.Cancelled when `cancelled()` turns true.
    """
    plan = plan or Plan()
    wanted = None if only is None else tuple(only)
    answers = plan.run(build, only=wanted, progress=progress, cancelled=cancelled)
    shown = [answer for answer in answers.values() if wanted is None or answer.study.name in wanted]
    shown.sort(key=lambda answer: (answer.study.order, answer.study.name))
    verdicts = [
        verdict
        for answer in shown
        for verdict in _worst_first(doubted(plan, build, answer, verdicts_of(plan, build, answer)))
    ]
    return Report(
        build=build, answers=answers, verdicts=tuple(verdicts), next_steps=next_steps(build, answers, verdicts)
    )


def _worst_first(verdicts: Iterable[Verdict]) -> list[Verdict]:
    return sorted(verdicts, key=lambda v: (STATES.index(v.state), v.chance if v.chance is not None else 1.0, v.id))
