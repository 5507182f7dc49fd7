"""The measuring sheet: only what is not measured yet, by place, where to put the callipers, and what it is good for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from coachwork.build import Entry
from coachwork.build.fields import field_of
from coachwork.confidence.words import sentence
from coachwork.papers import cautions
from coachwork.papers.bench_drawings import drawing_of, drawings_that_show
from coachwork.papers.sheet import Block, Caution, Cell, Figure, Gap, Heading, Points, Sheet, Table, Words, WriteIn
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.quantity import LENGTH
from coachwork.studies.wording import count

AXES = "xyz"
_POINT = re.compile(r"(.*)\.([xyz])")
# Tables whose readings are taken at one place, in the order of the bench; the longest beginning that fits counts.
_PLACES = {
    "prototype": "The full-size vehicle, from published data",
    "shell": "The shell",
    "running-gear": "The donor's running gear",
    "running-gear.front": "The donor's front end",
    "running-gear.rear": "The donor's rear end",
    "wheels.front": "The new front wheels",
    "wheels.rear": "The new rear wheels",
    "changes": "What you will change",
    "wanted": "What you want of it",
    "pack": "The pack",
    "wiring": "Wires and loads",
    "masses": "What the parts weigh, and where they sit",
}


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """One reading to take: a number, a whole point, or a choice.

    key    : of the number, or of the point
    axes   : of a point, those that lack
    how    : what to put the callipers on
    unit   : of the reading
    good_for : questions that wait for it
    guess  : what is taken until then, where there is something
    """

    key: str
    axes: tuple[str, ...]
    how: str
    unit: str
    good_for: tuple[str, ...]
    guess: str = ""


def measuring_sheet(of: Subject) -> Sheet:
    """What to take to the bench with callipers and a pencil."""
    readings = wanted(of)
    blocks: list[Block] = []
    if not readings:
        blocks.append(
            Gap(
                "Nothing is left to measure.",
                "Every number that an answer waits for is there, and nothing that matters is guessed. Readings that "
                "leave an answer in doubt stand on the sheet of assumptions.",
            )
        )
    else:
        told = f"{count(len(readings), 'reading')} to take. Write what you read, not what you expect, and how far it "
        units = " Type in behind every length in inches: a bare number means mm." if of.units.lengths == "in" else ""
        blocks.append(Words(f"{told}may be off, such as 54.2 ± 0.1. A guess counts, too: write ~ before it.{units}"))
        blocks += [Points(_first(of)), Caution(cautions.PACK), *_places(readings)]
    return Sheet(
        name="measuring-sheet", title=f"Measuring sheet: {of.name}",
        about="What is not measured yet, where it is taken, and which answers wait for it.", blocks=tuple(blocks),
    )  # fmt: skip


def _first(of: Subject) -> tuple[str, ...]:
    """What to begin with, in a line each."""
    steps = [step for step in of.report.next_steps if step.reason == "not measured"]
    groups = list(dict.fromkeys(step.together for step in steps))[:3]
    questions = {verdict.id: verdict.question for verdict in of.report.verdicts}
    lines = []
    for number, keys in enumerate(groups, start=1):
        answers = next(step.verdicts for step in steps if step.together == keys)
        named = [questions[id] for id in answers if id in questions]
        good = f": answers {count(len(named), 'question')}, such as “{named[0]}”" if named else ""
        some = ", ".join(keys[:6]) + (f" and {len(keys) - 6} more" if len(keys) > 6 else "")
        lines.append(f"{'Begin with' if number == 1 else 'Then'} {some}{good}")
    return tuple(lines)


def wanted(of: Subject) -> tuple[Wanted, ...]:
    """All readings that are not taken and that an answer waits for or hangs on, in the order of the file."""
    report = of.report
    waiting: dict[str, list[str]] = {}
    for verdict in report.verdicts:
        for key in verdict.missing:
            waiting.setdefault(key, []).append(verdict.question)
    questions = {verdict.id: verdict.question for verdict in report.verdicts}
    for step in report.next_steps:
        if step.reason == "not measured" or (step.reason == "guessed" and step.weight > 0):
            waiting.setdefault(step.key, []).extend(questions[id] for id in step.verdicts if id in questions)
    entries = {entry.key: entry for entry in of.build.entries()}
    order = {key: place for place, key in enumerate(entries)}
    points: dict[str, list[str]] = {}
    for key in sorted(waiting, key=lambda key: (order.get(key, len(order)), key)):
        points.setdefault(_whole(key), []).append(key)
    return tuple(_reading(of, point, keys, entries, waiting) for point, keys in points.items())


def _whole(key: str) -> str:
    """The point that a coordinate belongs to, else the key."""
    match = _POINT.fullmatch(key)
    return match[1] if match else key


def _reading(
    of: Subject, point: str, keys: list[str], entries: dict[str, Entry], waiting: dict[str, list[str]]
) -> Wanted:
    good_for = tuple(dict.fromkeys(question for key in keys for question in waiting[key]))
    axes = tuple(key[-1] for key in keys if key != point)
    entry, field = entries.get(keys[0]), field_of(keys[0])
    if entry is None:
        how = field.how if field is not None else f"a table of its own, [{point}]: see the build file's reference"
        return Wanted(key=point, axes=axes, how=how, unit="", good_for=good_for)
    unit = of.units.unit if entry.KIND is LENGTH else entry.KIND.bare_unit
    best = entry.best
    guess = of.units.entry(best) if best is not None else ""
    return Wanted(key=point, axes=axes, how=entry.how, unit=unit, good_for=good_for, guess=guess)


def _places(readings: Iterable[Wanted]) -> Iterator[Block]:
    groups: dict[str, list[Wanted]] = {}
    for reading in readings:
        groups.setdefault(_place(reading.key), []).append(reading)
    drawn: set[str] = set()
    for place, group in groups.items():
        title = _PLACES.get(place, called(place).capitalize())
        yield Heading(title)
        for name in drawings_that_show([reading.key for reading in group]):
            if name not in drawn:
                drawn.add(name)
                drawing = drawing_of(name)
                yield Figure(svg=drawing.svg, alt=drawing.about, width_mm=176.0)
        yield _table(place, group)


def _place(key: str) -> str:
    fits = [place for place in _PLACES if key.startswith(f"{place}.") or key == place]
    return max(fits, key=len) if fits else key.partition(".")[0]


def _table(place: str, group: list[Wanted]) -> Table:
    rows: list[tuple[Cell, ...]] = []
    for reading in group:
        key = reading.key.removeprefix(f"{place}.")
        how = sentence(reading.how) + (f" Taken so far: {reading.guess}, a guess." if reading.guess else "")
        rows.append((key, how, _answers(reading.good_for), WriteIn(unit=reading.unit, labels=reading.axes)))
    return Table(
        heads=("number", "how to take it", "answers that need it", "reading"), rows=tuple(rows),
        widths=(2.2, 3.6, 3.0, 2.0), note=f"Keys of [{place}] in the build file.",
    )  # fmt: skip


def _answers(questions: tuple[str, ...]) -> str:
    if not questions:
        return ""
    return questions[0] + (f" and {len(questions) - 1} more" if len(questions) > 1 else "")
