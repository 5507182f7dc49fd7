"""`coachwork enter`: one number into the build file, and what that changes."""

from __future__ import annotations

import argparse
import difflib
from dataclasses import replace
from pathlib import Path

from coachwork.build import Build, mend, read, text_of, with_entry, write
from coachwork.build.fields import field_of, file_tables
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.confidence import Report, examine
from coachwork.confidence.words import listed, numbers_of, points_joined, sentence
from coachwork.errors import BuildRefused, CoachworkError
from coachwork.plan import Plan
from coachwork.studies.finding import STATES, Verdict
from coachwork.studies.wording import count


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the number and print the verdicts that changed their state."""
    key, value = options.key.strip(), options.value.strip()
    if field_of(key) is None:
        raise CoachworkError(f"{key}: there is no key of this name; {_nearest(key)}")
    if not value:
        raise CoachworkError(f'{key}: no value was given; nothing was written. To take its number out, enter "?"')
    try:
        build = read(options.place)
    except BuildRefused as refused:
        return _mend(screen, refused.path, key, value)
    plan = plan or Plan()
    text = with_entry(build.text, key, value)
    with Progress() as progress:
        before = examine(build, plan=plan, progress=progress, tell=progress.tell)
        after = examine(_written(build, text, key), plan=plan, progress=progress, tell=progress.tell)
    screen.say(_what_was_written(build.path, key, value))
    for doubt in after.build.doubts:
        if doubt.key == key or doubt.key.startswith(f"{key}."):
            screen.say(replace(doubt, line=None).__str__(), mark="?", tone="warning", indent=2)
    show_changes(screen, before, after)
    return 0


def _what_was_written(path: Path, key: str, value: str) -> str:
    if value == "?":
        return f"{key} is not measured now: ? stands in its place in {path}."
    return f"{key} = {value} written to {path}."


def _mend(screen: Screen, path: Path, key: str, value: str) -> int:
    """Into a file that cannot be read: there is no before, but there may be an after."""
    try:
        left = mend(path, text_of(path), key, value)
    except BuildRefused as refused:
        raise _nothing_written(refused) from None
    screen.say(_what_was_written(path, key, value))
    if left is None:
        screen.say(f"The file can be read again; next: coachwork check {path.parent}")
        return 0
    raise left


def _written(build: Build, text: str, key: str) -> Build:
    try:
        return write(build, text)
    except BuildRefused as refused:
        raise _nothing_written(refused) from None


def _nothing_written(refused: BuildRefused) -> CoachworkError:
    # Without lines: those would be of a text that nobody will see.
    faults = "\n".join(str(replace(fault, line=None)) for fault in refused.faults)
    return CoachworkError(f"{faults}\nnothing was written")


def _nearest(key: str) -> str:
    known = [field.key for outer in file_tables() for table in outer.walk() for field in table.fields]
    same_end = [other for other in known if other.rpartition(".")[2] == key.rpartition(".")[2]]
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.6) or same_end[:1]
    return f"did you mean {near[0]}?" if near else "coachwork new --blank writes a file with all of them"


def show_changes(screen: Screen, before: Report, after: Report) -> None:
    """Which verdicts changed, or moved."""
    was = {verdict.id: verdict for verdict in before.verdicts}
    changed = [verdict for verdict in after.verdicts if verdict.id in was and verdict.state != was[verdict.id].state]
    new = [verdict for verdict in after.verdicts if verdict.id not in was]
    if not changed and not new:
        _show_moved(screen, was, after)
        return
    screen.say(f"{count(len(changed) + len(new), 'verdict changes', 'verdicts change')}:")
    for verdict in sorted([*changed, *new], key=lambda verdict: STATES.index(verdict.state)):
        old = was[verdict.id].state if verdict.id in was else "new"
        numbers = numbers_of(verdict)
        screen.say(f"{old} -> {verdict.state}: {verdict.question} {numbers}".rstrip(), indent=2, hang=4)
        if verdict.state == "fails" and verdict.do is not None:
            screen.say(sentence(verdict.do), mark="Do ", tone="strong", indent=4)


def _show_moved(screen: Screen, was: dict[str, Verdict], after: Report) -> None:
    """Where no state changes, the values that do, most of their limit first; only those whose digits show it."""
    pairs = [(was[v.id], v) for v in after.verdicts if v.id in was and numbers_of(was[v.id]) != numbers_of(v)]
    pairs.sort(key=lambda pair: -_moved(*pair))
    nearer = [v for v in after.verdicts if v.missing and v.id in was and set(v.missing) < set(was[v.id].missing)]
    if not pairs and not nearer:
        screen.say("No verdict changes, and no value moves so far that it shows.")
        return
    screen.say("No verdict changes.")
    for lack in list(dict.fromkeys(listed(points_joined(v.missing)) for v in nearer))[:3]:
        questions = [v.question for v in nearer if listed(points_joined(v.missing)) == lack]
        screen.say(f"{listed(questions, most=1)} Still needs {lack}.", indent=2, hang=4)
    for old, new in pairs[:3]:
        was_value, _, was_limit = numbers_of(old).partition(", ")
        value, _, limit = numbers_of(new).partition(", ")
        told = f"was {was_value}, is {value}, {limit}" if limit == was_limit else f"{limit}; was {was_limit}"
        told = told if was_value != value else f"{value}, {told}"
        screen.say(f"{new.question} {told[:1].upper()}{told[1:]}.", indent=2, hang=4)
    if len(pairs) > 3:
        screen.say(f"and {len(pairs) - 3} more values moved.", indent=2)


def _moved(old: Verdict, new: Verdict) -> float:
    """How far the margin moved, as a share of the limit."""
    if old.margin is None or new.margin is None or not new.limit:
        return 0.0
    return abs(new.margin - old.margin) / abs(new.limit)
