"""The answers to a build that changes: what an edit touches first, then all of it, then what the builder can turn."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Literal, Protocol

from coachwork.build import Build
from coachwork.confidence import Report
from coachwork.plan import Cancelled, Plan, Progress
from coachwork.studies.finding import STATES
from coachwork.studies.watch import Watch
from coachwork.workbench.levers import Lever, levers_of
from coachwork.workbench.merging import differences

News = Literal["build", "drafts", "working", "answers", "told", "beside"]
MOST_FIRST = 3  # studies that are shown before the rest; each costs a little more than answering all at once


class Examine(Protocol):
    """How a build is answered; `confidence.examine`, unless somebody knows a quicker way."""

    def __call__(
        self, build: Build, *, plan: Plan, only: Iterable[str] | None, progress: Progress,
        cancelled: Callable[[], bool],
    ) -> Report: ...  # fmt: skip


class Answers:
    """What is known of a build, and how far the work on it is.

    report  : the latest; parts of it may be of an older build until `work` has ended
    opened  : the first that was whole, to compare with
    levers  : by study and verdict, what the builder can turn
    working : what is being worked out, in words
    wrong   : what a study stumbled over, where it did; the report is an older one then
    """

    def __init__(self, plan: Plan, answer: Examine, tell: Callable[[News], None]) -> None:
        self._plan, self._answer, self._tell = plan, answer, tell
        self.report: Report | None = None
        self.opened: Report | None = None
        self.levers: Mapping[str, Mapping[str, tuple[Lever, ...]]] = {}
        self.working: str | None = None
        self.wrong: str | None = None
        self._whole: Report | None = None  # the latest that is of one build throughout
        self._took: dict[str, float] = {}  # seconds, by study, the last time it was answered by itself

    def work(self, build: Build, unwanted: Callable[[], bool]) -> bool:
        """Answer a build; whether that was still wanted when it was done. A part that is done is told at once."""

        def progress(study: str, done: int, of: int) -> None:
            self.working = f"{study} ({done + 1} of {of})"
            self._tell("working")

        try:
            for name in self._first(build):
                begun = time.monotonic()
                part = self._answer(build, plan=self._plan, only=[name], progress=progress, cancelled=unwanted)
                self._took[name] = time.monotonic() - begun
                self.report = _with_part(self.report, part, name)
                self._tell("answers")
            self.report = self._answer(build, plan=self._plan, only=None, progress=progress, cancelled=unwanted)
        except Cancelled:
            return False
        except Exception as fault:  # a study that fails on odd numbers must not end the session
            self.wrong = f"{type(fault).__name__}: {fault}"
        else:
            self._whole, self.wrong = self.report, None
            self.opened = self.opened or self.report
        self.working = None
        return True

    def _first(self, build: Build) -> list[str]:
        """Studies to answer and show before all is worked out: those that read a number which changed, the quickest
        first; at the start every one, in the builder's order.
        """
        if self._whole is None:
            return [study.name for study in sorted(self._plan.studies, key=lambda study: (study.order, study.name))]
        changed = differences(self._whole.build.text, build.text)
        touched = [name for name, answer in self._plan.kept.items() if not changed.keys().isdisjoint(answer.read)]
        return sorted(touched, key=lambda name: self._took.get(name, 0.0))[:MOST_FIRST]

    def find_levers(self, unwanted: Callable[[], bool]) -> None:
        """Of every study, what is worse first."""
        report = self.report
        if report is None or self.wrong is not None:
            return
        watch, found = Watch(cancelled=unwanted), {}
        worst = {verdict.study: verdict.state for verdict in reversed(report.verdicts)}
        try:
            for name in sorted(report.answers, key=lambda name: STATES.index(worst.get(name, "holds"))):
                if unwanted():
                    return
                try:
                    found[name] = levers_of(self._plan, report.build, report.answers[name], watch)
                except (ArithmeticError, ValueError):  # a step that leads where a study has no words for it
                    found[name] = {}
        except Cancelled:
            return
        self.levers = found
        self._tell("answers")


def _with_part(old: Report | None, part: Report, study: str) -> Report:
    """A report with one study's verdicts exchanged for newer ones, until all are."""
    if old is None:
        return part
    answers = {**old.answers, **part.answers}
    shown = {verdict.study for verdict in old.verdicts} | {study}
    order = sorted(shown, key=lambda name: (answers[name].study.order, name))
    verdicts = tuple(one for name in order for one in (part if name == study else old).of(name))
    return replace(old, build=part.build, answers=answers, verdicts=verdicts)
