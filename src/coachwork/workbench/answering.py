"""The answers to a build that changes.

First what an edit touches, then all of it, then how likely each is to hold, then what the builder can turn.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import replace
from typing import Literal, Protocol

from coachwork.build import Build
from coachwork.confidence import Report
from coachwork.plan import Answer, Cancelled, Plan, Progress
from coachwork.studies.finding import STATES, Verdict
from coachwork.studies.watch import Watch
from coachwork.workbench.levers import Lever, levers_of

News = Literal["build", "drafts", "working", "answers", "told", "beside"]
GIVE_WAY_S = (
    0.015  # once something new is told, so that who shows it need not share the interpreter with what comes next
)
MOST_FIRST = 3  # studies that are shown before the rest; each costs a little more than answering all at once


class Examine(Protocol):
    """How a build is answered: `confidence.examine`, or `first_look`, unless somebody knows a quicker way."""

    def __call__(
        self, build: Build, *, plan: Plan, only: Iterable[str] | None, progress: Progress,
        cancelled: Callable[[], bool],
    ) -> Report: ...  # fmt: skip


class Answers:
    """What is known of a build, and how far the work on it is.

    report  : the latest; parts of it may be of an older build, or not weighed yet, until `work` has ended
    opened  : the first that was whole, to compare with
    levers  : by study and verdict, what the builder can turn
    working : what is being worked out, in words
    wrong   : what a study stumbled over, where it did; the report is an older one then
    """

    def __init__(self, plan: Plan, look: Examine, answer: Examine, tell: Callable[[News], None]) -> None:
        self._plan, self._look, self._answer, self._tell = plan, look, answer, tell
        self.report: Report | None = None
        self.opened: Report | None = None
        self.levers: Mapping[str, Mapping[str, tuple[Lever, ...]]] = {}
        self.working: str | None = None
        self.wrong: str | None = None
        self._took: dict[str, float] = {}  # seconds, by study, the last time it was looked at by itself

    def work(self, build: Build, unwanted: Callable[[], bool]) -> bool:
        """Answer a build; whether that was still wanted when it was done. A part that is done is told at once: first
        what the edit touched, then all, then the chances.
        """

        def progress(study: str, done: int, of: int) -> None:
            self.working = f"{study} ({done + 1} of {of})"
            self._tell("working")

        try:
            for name in self._first(build):
                begun = time.monotonic()
                part = self._look(build, plan=self._plan, only=[name], progress=progress, cancelled=unwanted)
                self._took[name] = time.monotonic() - begun
                self._show(part, [name])
            part = self._look(build, plan=self._plan, only=None, progress=progress, cancelled=unwanted)
            self._show(part, part.answers)
            self.working = "how likely each is to hold"
            self._tell("working")
            self.report = self._answer(build, plan=self._plan, only=None, progress=_silent, cancelled=unwanted)
        except Cancelled:
            return False
        except Exception as fault:  # a study that fails on odd numbers must not end the session
            self.wrong = f"{type(fault).__name__}: {fault}"
        else:
            self.wrong = None
            self.opened = self.opened or self.report
        self.working = None
        return True

    def _first(self, build: Build) -> list[str]:
        """Studies to answer and show before all is worked out: those that read a number which changed, the quickest
        first; at the start every one, in the builder's order.
        """
        if self.opened is None:
            return [study.name for study in sorted(self._plan.studies, key=lambda study: (study.order, study.name))]
        return sorted(self._plan.touched(build), key=lambda name: self._took.get(name, 0.0))[:MOST_FIRST]

    def _show(self, part: Report, studies: Iterable[str]) -> None:
        """Tell the answers of some studies, among the older ones of the others."""
        old, answers = self.report, {name: part.answers[name] for name in studies}
        if old is not None:
            answers = {**old.answers, **answers}
            if answers == old.answers:
                self.report = replace(old, build=part.build)
                return
        verdicts = tuple(one for name in _in_order(answers) for one in _latest(name, part, answers[name], old))
        self.report = Report(
            build=part.build, answers=answers, verdicts=verdicts, next_steps=() if old is None else old.next_steps
        )
        self._tell("answers")
        time.sleep(GIVE_WAY_S)

    def find_levers(self, unwanted: Callable[[], bool]) -> None:
        """Of every study, what is worse first; each is told when it is found."""
        report = self.report
        if report is None or self.wrong is not None:
            return
        watch = Watch(cancelled=unwanted)
        worst = {verdict.study: verdict.state for verdict in reversed(report.verdicts)}
        for name in sorted(report.answers, key=lambda name: STATES.index(worst.get(name, "holds"))):
            if unwanted():
                return
            try:
                found = levers_of(self._plan, report.build, report.answers[name], watch)
            except (ArithmeticError, ValueError):  # a step that leads where a study has no words for it
                found = {}
            except Cancelled:
                return
            if self.levers.get(name) != found:
                self.levers = {**self.levers, name: found}
                self._tell("answers")


def _silent(study: str, done: int, of: int) -> None:
    pass


def _in_order(answers: Mapping[str, Answer]) -> list[str]:
    return sorted(answers, key=lambda name: (answers[name].study.order, name))


def _latest(study: str, part: Report, answer: Answer, old: Report | None) -> Iterable[Verdict]:
    """A study's verdicts; those that are not weighed yet where the same questions stood before."""
    before = () if old is None else old.of(study)
    then = None if old is None else old.answers.get(study)
    if then is None or answer is then:
        return before if answer is then else part.of(study)
    place = {verdict.id: i for i, verdict in enumerate(before)}
    known = {verdict.id: verdict for verdict in before}
    read, was = answer.everything_read(), then.everything_read()
    changed = {key for key, held in read.items() if was.get(key) != held}
    fresh = [_meanwhile(verdict, known.get(verdict.id), changed) for verdict in part.of(study)]
    return sorted(fresh, key=lambda verdict: place.get(verdict.id, len(place)))


def _meanwhile(verdict: Verdict, old: Verdict | None, changed: Set[str]) -> Verdict:
    """A verdict until it is weighed, so that nothing turns that may turn back.

    One that came out as before stays, unless a number has changed that its chance hangs on; of another a state that may
    well stay is left, as are the numbers beside it; and what a question waits for, where it still waits for the same.
    """
    if old is None or (verdict.weighed and verdict.margin is not None):
        return verdict
    if verdict.margin is None:
        same = verdict.missing == old.missing[: len(verdict.missing)]
        return replace(verdict, missing=old.missing, why=old.why) if verdict.missing and same else verdict
    as_before = (verdict.value, verdict.limit, verdict.why) == (old.value, old.limit, old.why)
    if as_before and changed.isdisjoint(lead.key for lead in old.leads):
        return old
    stays = verdict.state == "holds" and old.state in ("holds", "tight")
    return replace(verdict, leads=old.leads, chance=old.chance if stays else None)
