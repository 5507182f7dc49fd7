"""Runs the studies a build needs, each after those it asks for, and reuses every answer whose inputs did not change.

What a study read is recorded as it reads. An answer kept from an earlier run serves again when every entry it read
holds the same, the settings of its sections are the same, what it was supplied with from outside the build file has
not changed, and the results it stood on are the same: reused, or made anew and equal to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any, TypeVar, cast

from coachwork.build import Build
from coachwork.plan.discovery import Wiring, discover, wire
from coachwork.plan.holding import Holding
from coachwork.plan.views import Plain, Sampled
from coachwork.quantity import Measured
from coachwork.studies.finding import Finding
from coachwork.studies.memory import Memory, Record
from coachwork.studies.sameness import same
from coachwork.studies.study import Study
from coachwork.studies.watch import UNWATCHED, Unwanted, Watch

_PLAIN = "plain"  # the purpose of a run on the builder's own numbers
MOST_BESIDE = 24  # purposes; a build lacks numbers in a few places at a time
T = TypeVar("T")
Progress = Callable[[str, int, int], None]  # study about to run, how many are done, how many in all


class Cancelled(Exception):
    """The run was stopped, as asked: between two studies, or within one that looks whether it is still wanted."""


@dataclass(frozen=True, eq=False)
class Answer:
    """A study's result and findings, with the record of what they came from."""

    study: Study
    result: Any
    findings: tuple[Finding, ...]
    read: Mapping[str, Measured | None]
    settings: tuple[Any, ...]
    upstream: tuple[Answer, ...]
    stamps: tuple[Hashable, ...] = ()  # of what came from outside the build file

    def standing_on(self, upstream: tuple[Answer, ...]) -> Answer:
        """The same answer over others with the same results, which may have come from other numbers."""
        alike = all(now is then for now, then in zip(upstream, self.upstream, strict=True))
        return self if alike else replace(self, upstream=upstream)

    def everything_read(self) -> dict[str, Measured | None]:
        """What this answer and those it stands on have read."""
        read = dict(self.read)
        for answer in self.upstream:
            read |= answer.everything_read()
        return read

    def missing(self) -> set[str]:
        """Keys that were looked for and not there."""
        return {key for finding in self.findings for key in finding.missing}


@dataclass(eq=False)
class Plan:
    """The studies, wired; keeps the last answer of each for reuse.

    >>> [study.name for study in Plan().studies][:2]
    ['likeness', 'stance']
    """

    studies: tuple[Study, ...] = field(default_factory=discover)
    kept: dict[str, Answer] = field(default_factory=dict)
    _holding: Holding = field(default_factory=Holding, repr=False)
    _beside: dict[Hashable, dict[str, Answer]] = field(default_factory=dict, repr=False)
    _moved: dict[tuple[str, str], _Moved] = field(default_factory=dict, repr=False)
    _derived: dict[tuple[str, str], tuple[Answer, Any]] = field(default_factory=dict, repr=False)
    _memories: dict[tuple[str, str], Memory] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        self.wirings = {wiring.study.name: wiring for wiring in wire(self.studies)}

    def needed(self, names: Iterable[str]) -> list[Wiring]:
        """The studies named and all they stand on, in running order. Raises KeyError for a name that is none."""
        wanted: set[str] = set()

        def want(name: str) -> None:
            wanted.add(name)
            for upstream in self.wirings[name].upstream.values():
                want(upstream)

        for name in names:
            want(name)
        return [wiring for name, wiring in self.wirings.items() if name in wanted]

    def run(self, build: Build, *, only: Iterable[str] | None = None, progress: Progress | None = None,
            cancelled: Callable[[], bool] = lambda: False, tell: Callable[[str], None] | None = None,
            ) -> dict[str, Answer]:  # fmt: skip
        """Answers by study name.

        tell : takes a few words now and then on how far a long study is

        Raises Cancelled when `cancelled()` turns true, between two studies or within one that looks. What is done is
        kept.
        """
        watch = Watch(cancelled=cancelled) if tell is None else Watch(tell=tell, cancelled=cancelled)
        wirings = self.needed(self.wirings if only is None else only)
        answers: dict[str, Answer] = {}
        for done, wiring in enumerate(wirings):
            name = wiring.study.name
            if cancelled():
                raise Cancelled(name)
            if progress is not None:
                progress(name, done, len(wirings))
            answers[name] = self.kept[name] = self._plain(wiring, build, answers, watch)
        return answers

    def _plain(self, wiring: Wiring, build: Build, answers: Mapping[str, Answer], watch: Watch) -> Answer:
        kept = self.kept.get(wiring.study.name)
        if kept is not None and _still_true(kept, wiring, build, answers, self._holding):
            return kept.standing_on(tuple(answers[name] for name in wiring.upstream.values()))
        fresh = _answer(wiring, build, answers, Plain(), watch, self._holding, memory=self._memory(wiring, _PLAIN))
        if kept is None:
            return fresh
        return replace(fresh, result=kept.result) if same(fresh.result, kept.result) else fresh

    def _memory(self, wiring: Wiring, purpose: str) -> Memory:
        """A study's pieces of work when it runs for a purpose."""
        return self._memories.setdefault((purpose, wiring.study.name), Memory())

    def touched(self, build: Build) -> list[str]:
        """Studies whose last answer was made from other inputs of their own than this build's; those that merely stand
        on such a study are not among them.
        """
        return [
            name
            for name, answer in self.kept.items()
            if not _same_inputs(answer, self.wirings[name], build, self._holding)
        ]

    def has(self, answer: Answer, what: str) -> bool:
        """Whether `once` has made this already."""
        kept = self._derived.get((answer.study.name, what))
        return kept is not None and kept[0] is answer

    def once(self, answer: Answer, what: str, make: Callable[[], T], *, of_result: bool = False) -> T:
        """What a layer above derives from an answer, made once and kept as long as the answer is.

        of_result : it hangs on the result alone, and is kept as long as that is, whatever numbers lead to it
        """
        kept = self._derived.get((answer.study.name, what))
        if kept is None or not (kept[0] is answer or (of_result and kept[0].result is answer.result)):
            kept = (answer, make())
            self._derived[answer.study.name, what] = kept
        return cast(T, kept[1])

    def run_beside(self, build: Build, names: Iterable[str], *, purpose: Hashable) -> dict[str, Answer]:
        """Studies on a build with made-up numbers, which must not stay among the builder's answers; what the last such
        run for the same purpose left is reused.
        """
        wanted = tuple(names)
        answers = Plan(studies=self.studies, kept={**self.kept, **self._beside.pop(purpose, {})}).run(
            build, only=wanted
        )
        self._beside[purpose] = {name: one for name, one in answers.items() if one is not self.kept.get(name)}
        while len(self._beside) > MOST_BESIDE:
            del self._beside[next(iter(self._beside))]
        return answers

    def run_sampled(self, build: Build, name: str, view: Sampled, watch: Watch = UNWATCHED) -> Answer:
        """One study over many samples, with all it stands on; nothing is kept. Raises Cancelled."""
        return self._sampled(build, [name], view, watch, {}, None)[name]

    def run_moved(
        self, build: Build, names: Iterable[str], view: Sampled, watch: Watch = UNWATCHED, *, purpose: str
    ) -> dict[str, Answer]:
        """Some studies over the same samples, with all they stand on, each run once; of what the last such run for the
        same purpose left, all that the same samples lead to is reused. Raises Cancelled.
        """
        kept = {name: moved for (other, name), moved in self._moved.items() if other == purpose}
        try:
            return self._sampled(build, names, view, watch, kept, purpose)
        finally:
            self._moved |= {(purpose, name): moved for name, moved in kept.items()}

    def _sampled(
        self,
        build: Build,
        names: Iterable[str],
        view: Sampled,
        watch: Watch,
        kept: dict[str, _Moved],
        purpose: str | None,
    ) -> dict[str, Answer]:
        answers: dict[str, Answer] = {}
        for wiring in self.needed(names):
            name = wiring.study.name
            if watch.cancelled():
                raise Cancelled(name)
            plain = None if wiring.own is None else self.run(build, only=[name])[name].result
            then = kept.get(name)
            if (
                then is not None
                and then.serves(view, plain)
                and _still_true(then.answer, wiring, build, answers, self._holding)
            ):
                answers[name] = then.answer
                continue
            memory = Memory() if purpose is None else self._memory(wiring, purpose)
            fresh = _answer(wiring, build, answers, view, watch, self._holding, plain, memory)
            if then is not None and same(fresh.result, then.answer.result):
                fresh = replace(fresh, result=then.answer.result)  # so that what stands on it need not run either
            answers[name] = fresh
            kept[name] = _Moved(view, fresh, plain)
        return answers


@dataclass(frozen=True)
class _Moved:
    """A study's answer over samples, with what it was made from beside the build."""

    view: Sampled
    answer: Answer
    plain: Any  # the study's own plain result, where it asks for that

    def serves(self, view: Sampled, plain: Any) -> bool:
        """Whether other samples are the same for all that was read, and the plain result is the one it was given."""
        return self.plain is plain and view.same_over(self.view, self.answer.read)


def _answer(
    wiring: Wiring,
    build: Build,
    answers: Mapping[str, Answer],
    view: Plain | Sampled,
    watch: Watch,
    holding: Holding,
    plain: Any = None,
    memory: Memory | None = None,
) -> Answer:
    own = view.afresh()  # the record of this study alone
    sections = {parameter: build[kind].seen_by(own) for parameter, kind in wiring.sections.items()}
    upstream = {parameter: answers[name] for parameter, name in wiring.upstream.items()}
    stamps = _stamps(wiring, build)  # before the file is read: one that changes meanwhile is read once more
    results = {parameter: answer.result for parameter, answer in upstream.items()}
    own_plain = {} if wiring.own is None else {wiring.own: plain}
    memory = memory or Memory()
    if wiring.remembering:
        memory.begin_run(_record(own, wiring, build, holding))
    supplied = {
        parameter: memory.once_reading(f"supply of {parameter}", (stamp,), partial(supply.make, build, own))
        for (parameter, supply), stamp in zip(wiring.supplies.items(), stamps, strict=True)
    }
    watches, memories = dict.fromkeys(wiring.watched, watch), dict.fromkeys(wiring.remembering, memory)
    try:
        result = wiring.study.compute(**sections, **results, **supplied, **own_plain, **watches, **memories)
    except Unwanted:
        memory.break_run()
        raise Cancelled(wiring.study.name) from None
    memory.end_run()
    findings = tuple(wiring.study.findings(result))
    _check_ids(wiring.study, findings)
    settings = tuple(holding.of(build[kind]).settings for kind in wiring.all_sections)
    return Answer(wiring.study, result, findings, own.seen, settings, tuple(upstream.values()), stamps)


def _record(own: Plain | Sampled, wiring: Wiring, build: Build, holding: Holding) -> Record:
    """For the pieces of a study that read the build by themselves."""
    sections = [build[kind] for kind in wiring.all_sections]
    settings = [holding.of(section).settings for section in sections]

    def still(read: Mapping[str, Measured | None], held: Any) -> bool:
        then, other = held
        alike = isinstance(own, Plain) or own.same_over(then, read)
        return alike and settings == other and holding.still(read, sections)

    return Record(seen=own.seen, held=(own, settings), still=still)


def _check_ids(study: Study, findings: tuple[Finding, ...]) -> None:
    """Ids are what reports of today and tomorrow are compared by: the study's own, each once."""
    ids = [finding.id for finding in findings]
    if odd := [id for id in ids if not id.startswith(f"{study.name}.")]:
        raise ValueError(f"study {study.name}: a finding's id begins with the study's name and a dot, not {odd[0]}")
    if twice := {id for id in ids if ids.count(id) > 1}:
        raise ValueError(f"study {study.name}: two findings share the id {min(twice)}")


def _stamps(wiring: Wiring, build: Build) -> tuple[Hashable, ...]:
    return tuple(supply.stamp(build) for supply in wiring.supplies.values())


def _still_true(kept: Answer, wiring: Wiring, build: Build, answers: Mapping[str, Answer], holding: Holding) -> bool:
    stood_on = zip(wiring.upstream.values(), kept.upstream, strict=True)
    return all(answers[name].result is old.result for name, old in stood_on) and _same_inputs(
        kept, wiring, build, holding
    )


def _same_inputs(kept: Answer, wiring: Wiring, build: Build, holding: Holding) -> bool:
    """Whether what a study read itself is what it would read now."""
    sections = [build[kind] for kind in wiring.all_sections]
    return (
        kept.settings == tuple(holding.of(section).settings for section in sections)
        and holding.still(kept.read, sections)
        and kept.stamps == _stamps(wiring, build)
    )
