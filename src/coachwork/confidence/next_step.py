"""What to measure next: what is not measured at all, then guesses, then readings worth taking better."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from coachwork.build import Build, Entry
from coachwork.build.fields import field_of
from coachwork.confidence.needs import Group
from coachwork.plan import Answer
from coachwork.quantity import Source
from coachwork.studies.finding import Verdict

Reason = Literal["not measured", "guessed", "uncertain"]
IDLE = 0.005  # of doubt: told as 0.00


@dataclass(frozen=True, kw_only=True)
class NextStep:
    """One number to take, and what it is good for.

    verdicts : for `not measured` those that it answers together with the others of its group and the groups before
    weight   : for `not measured` how many of them there are for each number of the group, else the doubt in verdicts
               that hangs on it (0 to n)
    together : the numbers to take with it, this one among them, before there is an answer; itself alone otherwise
    """

    key: str
    reason: Reason
    how: str
    verdicts: tuple[str, ...]
    weight: float
    together: tuple[str, ...]

    @property
    def idle(self) -> bool:
        """Whether it is a guess that no verdict in doubt hangs on just now."""
        return self.reason == "guessed" and self.weight < IDLE


def next_steps(
    build: Build, answers: Mapping[str, Answer], verdicts: Iterable[Verdict], lacking: Iterable[Group] = ()
) -> tuple[NextStep, ...]:
    """All that is worth measuring, most useful first.

    lacking : what is not measured at all, in groups, most useful first
    """
    verdicts = tuple(verdicts)
    entries = {entry.key: entry for entry in build.entries()}
    measured = [*_guessed(entries, answers, verdicts), *_uncertain(entries, verdicts)]
    measured.sort(key=lambda step: (step.reason != "guessed", -step.weight, step.key))
    return (*_blank(entries, lacking), *measured)


def _blank(entries: Mapping[str, Entry], lacking: Iterable[Group]) -> Iterable[NextStep]:
    for group in lacking:
        for key in group.keys:
            yield NextStep(
                key=key, reason="not measured", how=_how(entries, key), verdicts=group.verdicts, weight=group.worth,
                together=group.keys,
            )  # fmt: skip


def _how(entries: Mapping[str, Entry], key: str) -> str:
    """How to take a number, which choices there are, or that a whole table is wanted."""
    if key in entries:
        return entries[key].how
    field = field_of(key)
    return field.how if field is not None else f"a table of its own, [{key}]; the build file's reference tells its keys"


def _doubt(verdict: Verdict) -> float:
    """0 for a sure verdict, 1 for a coin toss."""
    return 0.0 if verdict.chance is None else 4 * verdict.chance * (1 - verdict.chance)


def _hanging_on(key: str, verdicts: tuple[Verdict, ...]) -> tuple[tuple[str, ...], float]:
    shares = {v.id: lead.share * _doubt(v) for v in verdicts for lead in v.leads if lead.key == key}
    return tuple(sorted(shares, key=lambda id: -shares[id])), sum(shares.values())


def _guessed(
    entries: Mapping[str, Entry], answers: Mapping[str, Answer], verdicts: tuple[Verdict, ...]
) -> Iterable[NextStep]:
    """Stand-ins the studies went on with, and numbers the builder guessed."""
    read = {key for answer in answers.values() for key in answer.read}
    for key in read & entries.keys():
        entry = entries[key]
        if entry.best is not None and entry.best.source is Source.GUESS and entry.best.half_width > 0:
            touched, weight = _hanging_on(key, verdicts)
            yield NextStep(key=key, reason="guessed", how=entry.how, verdicts=touched, weight=weight, together=(key,))


def _uncertain(entries: Mapping[str, Entry], verdicts: tuple[Verdict, ...]) -> Iterable[NextStep]:
    """Readings that leave a verdict open: a third of the doubt of a verdict that is neither sure nor hopeless."""
    keys = {lead.key for v in verdicts for lead in v.leads if lead.share * _doubt(v) > 0.1}
    for key in keys & entries.keys():
        best = entries[key].best
        if best is not None and best.source not in (Source.GUESS, Source.CHOSEN):
            touched, weight = _hanging_on(key, verdicts)
            yield NextStep(
                key=key, reason="uncertain", how=entries[key].how, verdicts=touched, weight=weight, together=(key,)
            )
