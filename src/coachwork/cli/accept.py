"""Entries that a scan proposes, set against what the build file holds, and written where the builder accepts them."""

from __future__ import annotations

import argparse
import difflib
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from coachwork.build import Build, with_entry, write
from coachwork.build.sections.outline import Shell
from coachwork.cli.enter import show_changes
from coachwork.cli.progress import Progress
from coachwork.confidence import examine
from coachwork.confidence.words import sentence
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.quantity import Measured, brief
from coachwork.scans.proposals import proposals
from coachwork.studies.wording import count

if TYPE_CHECKING:
    from coachwork.cli.scanned import Scan, Wanted
    from coachwork.cli.screen import Screen

ALL = "all"
Answer = Callable[[str], str]


@dataclass(frozen=True, kw_only=True)
class Line:
    """One entry as it would stand in the file.

    held   : what the file holds there now, in words; empty where nothing
    same   : whether that says the same
    doubt  : why it is only taken when named
    """

    key: str
    text: str
    held: str = ""
    same: bool = False
    agrees: bool = True
    doubt: str = ""


def lines_for(scan: Scan, wanted: Wanted, *, unit: str = "mm") -> tuple[Line, ...]:
    """All that the scan proposes: the mesh, its unit, the landmarks it took, then the dimensions."""
    return (*_about_the_mesh(scan, wanted), *_dimensions(scan, wanted, unit))


def _about_the_mesh(scan: Scan, wanted: Wanted) -> Iterator[Line]:
    build = wanted.build
    held = None if build is None else build[Shell].mesh.strip()
    name = _as_named(wanted.path, build)
    yield Line(key="shell.mesh", text=name, held=held or "", same=bool(held) and _same_file(build, held, wanted.path))
    unit = scan.unit.name
    held = None if build is None else build[Shell].mesh_units
    yield Line(key="shell.mesh-units", text=unit, held=held or "", same=held == unit, agrees=held in (None, unit))
    for mark, point in wanted.marks.items():
        for axis, number in zip("xyz", point, strict=True):
            key = f"shell.landmarks.{mark}.{axis}"
            measured = None if build is None else build.entry(key).measured
            same = measured is not None and measured.value == float(number)
            yield Line(key=key, text=repr(float(number)), held="" if measured is None else f"{measured.value:g}",
                       same=same)  # fmt: skip


def _as_named(path: Path, build: Build | None) -> str:
    """The mesh's name in the file: seen from the build's folder where it lies inside, in full elsewhere."""
    whole = path.resolve()
    home = None if build is None else build.path.parent.resolve()
    if home is not None and whole.is_relative_to(home):
        return whole.relative_to(home).as_posix()
    return whole.as_posix()


def _same_file(build: Build | None, held: str | None, path: Path) -> bool:
    if build is None or not held:
        return False
    return os.path.realpath(build.path.parent / held) == os.path.realpath(path)


def _dimensions(scan: Scan, wanted: Wanted, unit: str) -> Iterator[Line]:
    build = wanted.build
    sill = None if build is None else build[Shell].sill_height.measured
    for proposal in proposals(scan.found, scanner_mm=scan.scanner_mm, sill_height=sill):
        held = None if build is None else build.entry(proposal.key).measured
        text = proposal.text(unit)
        yield Line(
            key=proposal.key, text=text, doubt=proposal.doubt,
            held="" if held is None else f"{brief(held, unit)} {held.source.value}",
            same=held is not None and _same(held, proposal.measured),
            agrees=held is None or _agree(held, proposal.measured),
        )  # fmt: skip


def _same(held: Measured, found: Measured) -> bool:
    """An earlier scan's number, but for its rounding in the file."""
    return held.source is found.source and abs(held.value - found.value) <= 0.1 * found.half_width


def _agree(one: Measured, other: Measured) -> bool:
    return abs(one.value - other.value) <= float(np.hypot(one.half_width, other.half_width))


def accepted(screen: Screen, lines: tuple[Line, ...], wanted: Wanted, options: argparse.Namespace, plan: Plan | None
             ) -> None:  # fmt: skip
    """List the lines; write those accepted and say what that changes."""
    _show_lines(screen, lines)
    build = wanted.build
    if options.accept is None or build is None:
        where = "coachwork measure MESH --build DIR" if build is None else "the same command with"
        screen.say(f"To put them into the build file: {where} --accept for all, --accept KEY for one.")
        return
    chosen = _chosen(lines, options.accept)
    kept: list[Line] = []
    taken: list[Line] = []
    ask = _asker(screen, replace=options.replace)
    for line in chosen:
        if not line.same:
            (taken if not line.held or ask(line) else kept).append(line)
    screen.gap()
    if kept:
        told = ", ".join(f"{line.key} ({line.held})" for line in kept)
        screen.say(f"Kept as you have {'it' if len(kept) == 1 else 'them'}: {told}; --replace takes the scan's.")
    if not taken:
        screen.say("Nothing was written." if kept else "Nothing to write: all that was accepted stands in the file.")
        return
    text = build.text
    for line in taken:
        text = with_entry(text, line.key, line.text)
    plan = plan or Plan()
    with Progress() as progress:
        before = examine(build, plan=plan, progress=progress)
    after_build = write(build, text)
    screen.say(f"{count(len(taken), 'entry', 'entries')} written to {build.path}.")
    with Progress() as progress:
        after = examine(after_build, plan=plan, progress=progress)
    show_changes(screen, before, after)


def _show_lines(screen: Screen, lines: tuple[Line, ...]) -> None:
    screen.gap()
    screen.say("For the build file", tone="strong")
    for line in lines:
        _show_line(screen, line)


def _show_line(screen: Screen, line: Line) -> None:
    told = f'{line.key} = "{line.text}"'
    if line.same:
        screen.say(f"{told}  stands there", indent=2, hang=6)
    elif line.held and line.agrees:
        screen.say(f"{told}  you have {line.held}, which agrees", indent=2, hang=6)
    elif line.held:
        screen.say(f"{told}  you have {line.held}, which does not agree", mark="!", tone="warning", indent=0, hang=6)
    else:
        screen.say(told, indent=2, hang=6)
    if line.doubt:
        screen.say(sentence(f"only when named: {line.doubt}"), mark="?", tone="warning", indent=4)


def _chosen(lines: tuple[Line, ...], accept: Iterable[str]) -> list[Line]:
    """Those named, in the order of the file; all that are not doubted for "all". Raises CoachworkError."""
    names = {name.strip() for text in accept for name in text.split(",") if name.strip()}
    known = {_point_of(line.key): line for line in lines}
    for name in names - {ALL}:
        if name not in known and not any(line.key == name for line in lines):
            near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else "the list above has all of them"
            raise CoachworkError(f"--accept {name}: the scan proposes nothing of this name; {hint}")
    return [line for line in lines
            if line.key in names or _point_of(line.key) in names or (ALL in names and not line.doubt)]  # fmt: skip


def _point_of(key: str) -> str:
    """A landmark's coordinates go together."""
    return key.rpartition(".")[0] if key.startswith("shell.landmarks.") else key


def _asker(screen: Screen, *, replace: bool) -> Callable[[Line], bool]:
    """Whether to write over what the builder has: asked at a terminal, else only with --replace."""
    if replace:
        return lambda _: True
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return lambda _: False
    for_all: list[bool] = []

    def ask(line: Line) -> bool:
        if for_all:
            return for_all[0]
        screen.say(f"{line.key}: you have {line.held}, the scan says {line.text}.")
        try:
            word = input("  Take the scan's? [y/N/all/none] ").strip().lower()
        except EOFError:  # Ctrl-D: no more answers
            word = "none"
        if word in ("all", "none"):
            for_all.append(word == "all")
        return word in ("y", "yes", "all")

    return ask
