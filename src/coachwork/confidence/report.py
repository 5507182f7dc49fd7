"""Everything computed of a build, in one object: the same verdicts for terminal, page, PDF and JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from coachwork.build import Build
from coachwork.confidence.doubted import doubted, may_hang
from coachwork.confidence.first_order import spread_of, sure
from coachwork.confidence.needs import FAR, needs_of, what_to_take
from coachwork.confidence.next_step import NextStep, next_steps
from coachwork.plan import Answer, Plan, Progress
from coachwork.studies.finding import STATES, Verdict
from coachwork.studies.watch import Watch


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

    def read_for(self, key: str) -> tuple[str, ...]:
        """Questions of the studies that read a number."""
        return tuple(answer.study.question for answer in self.answers.values() if key in answer.read)

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
    tell: Callable[[str], None] | None = None,
) -> Report:
    """Answer the build's questions (all, or only those of some studies) and weigh the spreads.

    progress, tell : take which study runs, and a few words now and then on how far a long one is

    Raises KeyError for an unknown study, plan.Cancelled when `cancelled()` turns true.
    """
    plan = plan or Plan()
    wanted = None if only is None else tuple(only)
    answers = plan.run(build, only=wanted, progress=progress, cancelled=cancelled, tell=tell)
    shown = _shown(answers, wanted)
    watch = Watch(cancelled=cancelled)  # weighing runs each study again, and needs no other words
    weighed = doubted(plan, build, shown, watch)
    verdicts = [verdict for name in shown for verdict in worst_first(weighed[name])]
    needs = needs_of(plan, build, verdicts)
    told = tuple(_telling_all(verdict, needs.get(verdict.id, ())) for verdict in verdicts)
    lacking = what_to_take(plan, build, answers, needs)
    return Report(build=build, answers=answers, verdicts=told, next_steps=next_steps(build, answers, told, lacking))


def first_look(
    build: Build,
    *,
    plan: Plan,
    only: Iterable[str] | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Report:
    """What `examine` has before it weighs anything: every value and limit, and no chance where none is known yet.

    Such a verdict says that it is not weighed, and keeps its cure to itself where that may stand on a doubted number.
    Nothing is said of what to measure next.
    """
    wanted = None if only is None else tuple(only)
    answers = plan.run(build, only=wanted, progress=progress, cancelled=cancelled)
    shown = _shown(answers, wanted)
    verdicts = [one for answer in shown.values() for one in worst_first(_not_weighed(build, answer))]
    return Report(build=build, answers=answers, verdicts=tuple(verdicts), next_steps=())


def _shown(answers: Mapping[str, Answer], wanted: tuple[str, ...] | None) -> dict[str, Answer]:
    """Those that were asked for, in the builder's order."""
    names = [name for name in answers if wanted is None or name in wanted]
    return {name: answers[name] for name in sorted(names, key=lambda name: (answers[name].study.order, name))}


def _not_weighed(build: Build, answer: Answer) -> Iterable[Verdict]:
    if not spread_of(answer):
        return sure(answer)
    doubts = may_hang(build, answer)
    return [
        one if one.margin is None else replace(one, weighed=False, chance=None, do=None if doubts else one.do)
        for one in sure(answer)
    ]


def _telling_all(verdict: Verdict, needs: tuple[str, ...]) -> Verdict:
    """A verdict that names all it waits for; of those far off what they wait for first, which is what to begin with."""
    if len(needs) <= len(verdict.missing) or len(needs) > FAR:
        return verdict
    return replace(verdict, missing=needs, why=f"not measured yet: {', '.join(needs)}")


def worst_first(verdicts: Iterable[Verdict]) -> list[Verdict]:
    return sorted(verdicts, key=lambda v: (STATES.index(v.state), v.chance if v.chance is not None else 1.0, v.id))
