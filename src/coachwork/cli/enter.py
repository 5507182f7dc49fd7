"""`coachwork enter`: one number into the build file, and what that changes."""

from __future__ import annotations

import argparse
import difflib
from dataclasses import replace

from coachwork.build import Build, read, with_entry, write
from coachwork.build.fields import field_of, file_tables
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.cli.words import count, numbers_of, sentence
from coachwork.confidence import Report, examine
from coachwork.errors import BuildRefused, CoachworkError
from coachwork.plan import Plan
from coachwork.studies.finding import STATES, Verdict


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the number and print the verdicts that changed their state."""
    key, value = options.key.strip(), options.value.strip()
    if field_of(key) is None:
        raise CoachworkError(f"{key}: there is no key of this name; {_nearest(key)}")
    plan = plan or Plan()
    build = read(options.place)
    text = with_entry(build.text, key, value)
    with Progress() as progress:
        before = examine(build, plan=plan, progress=progress)
        after = examine(_written(build, text, key), plan=plan, progress=progress)
    screen.say(f"{key} = {value} written to {build.path}.")
    for doubt in after.build.doubts:
        if doubt.key == key:
            screen.say(replace(doubt, line=None).__str__(), mark="?", tone="warning", indent=2)
    show_changes(screen, before, after)
    return 0


def _written(build: Build, text: str, key: str) -> Build:
    try:
        return write(build, text)
    except BuildRefused as refused:
        # The lines are those of a text that nobody will see.
        faults = "\n".join(str(replace(fault, line=None)) for fault in refused.faults)
        raise CoachworkError(f"{faults}\nnothing was written") from None


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
        screen.say("No verdict changes.")
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
    moved = [v for v in after.verdicts if v.value is not None and v.id in was and was[v.id].value != v.value]
    for verdict in moved[:3]:
        old = numbers_of(was[verdict.id]).partition(",")[0]
        screen.say(f"{verdict.question} was {old}, is {numbers_of(verdict)}.", indent=2, hang=4)
    if len(moved) > 3:
        screen.say(f"and {len(moved) - 3} more values moved.", indent=2)
