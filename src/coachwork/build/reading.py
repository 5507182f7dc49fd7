"""Reading a build file: TOML text to sections, all faults found in one pass, each with its line and the right form."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, cast

from pydantic import ValidationError

from coachwork.build.alike import alike
from coachwork.build.entries import Habits
from coachwork.build.faults import LEFT_OUT, faults_of, told, unknown
from coachwork.build.lines import joined, line_of
from coachwork.build.plausibility import doubts_about
from coachwork.build.section import Section
from coachwork.build.sections.about import About
from coachwork.build.sections.measuring import Measuring
from coachwork.build.syntax import readable
from coachwork.build.tables import tables
from coachwork.build.vehicle import Build, Doubt, S
from coachwork.errors import BuildMissing, BuildRefused, Fault

FILE_NAME = "build.toml"
FORMAT = 1
MOST_BYTES = 2_000_000  # a build of 60 boxes is under 60 kB; anything near this is not a build file


def find(place: Path) -> Path:
    """The build file of a folder, or the file itself. Raises BuildMissing."""
    file = place / FILE_NAME if place.is_dir() else place
    if not file.is_file():
        folder = place.parent if place.suffix == ".toml" else place
        raise BuildMissing(f"{place}: no {FILE_NAME} there; start one with: coachwork new {folder}")
    return file


def read(place: Path | str) -> Build:
    """Read the build in a folder (or a build file).

    Raises BuildMissing, BuildRefused with every fault found, or OSError where the file cannot be opened.
    """
    path = find(Path(place))
    return read_text(text_of(path), path)


def text_of(path: Path) -> str:
    """The text of a build file, whatever it says. Raises BuildRefused for what is no text, or OSError."""
    with path.open("rb") as file:
        raw = file.read(MOST_BYTES + 1)
    if len(raw) > MOST_BYTES:
        raise _not_one(path, None, f"the file has more than {MOST_BYTES} bytes", "a build file has a few thousand")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = raw[: fault.start].count(b"\n") + 1
        raise _not_one(path, line, "this is not UTF-8 text", "save the file as plain text in UTF-8") from None


def _not_one(path: Path, line: int | None, read: str, wanted: str) -> BuildRefused:
    return BuildRefused(path, [Fault(key="", line=line, read=read, wanted=wanted)])


def read_text(text: str, path: Path) -> Build:
    """Read a build from text; `path` names it, and files that it speaks of are looked for beside it.

    Raises BuildRefused.
    """
    found = readable(text)
    if found.tables is None:
        raise BuildRefused(path, found.faults)
    raw, faults = found.tables, list(found.faults)
    doubts: list[Doubt] = []
    measuring = _section(Measuring, raw, Habits(), found.text, faults, doubts, path.parent)
    sections: dict[type[Section], Section] = {Measuring: measuring}
    for kind in tables().values():
        if kind is not Measuring:
            habits = replace(measuring.habits(), everything=kind.INSTRUMENT)
            sections[kind] = _section(kind, raw, habits, found.text, faults, doubts, path.parent)
    faults += [unknown((name,), raw[name], list(tables()), found.text) for name in raw if name not in tables()]
    about = sections[About]
    assert isinstance(about, About)
    if about.format != FORMAT:
        line, read = line_of(found.text, ("build", "format")), f"the file says format {about.format}"
        wanted = f"this version of coachwork reads format {FORMAT}"
        faults.append(Fault(key="build.format", line=line, read=read, wanted=wanted))
    if found.faults:  # what is left out may stand on a line that could not be read
        faults = [fault for fault in faults if fault.read != LEFT_OUT]
    if faults:
        raise BuildRefused(path, faults)
    in_order = {kind: sections[kind] for kind in tables().values()}
    build = Build(path=path, text=text, sections=in_order)
    return replace(build, doubts=(*doubts_about(build), *doubts))


def _section(
    kind: type[S], tables: dict[str, Any], habits: Habits, text: str, faults: list[Fault], doubts: list[Doubt],
    folder: Path,
) -> S:  # fmt: skip
    """A section from its table and the files it names; blank where faulty, with the faults listed.

    What is wrong with a file that it names is listed as a doubt.
    """
    raw = tables.get(kind.TABLE, {})
    if not isinstance(raw, dict):
        wanted = f"a table is wanted: a line [{kind.TABLE}], then its keys below"
        if isinstance(raw, list):
            wanted = f"there is one {kind.TABLE} only: write [{kind.TABLE}] in single brackets"
        line = line_of(text, (kind.TABLE,))
        faults.append(Fault(key=kind.TABLE, line=line, read=f"read {told(raw)}", wanted=wanted))
        return kind()
    last = _LAST.get(kind)
    if last is not None and last[0] == habits and alike(last[1], raw):
        return cast(S, last[2])
    try:
        section = kind.model_validate({kind.NAMES: raw} if kind.NAMES else raw, context=habits).keyed(kind.TABLE)
    except ValidationError as error:
        for problem in error.errors(include_url=False):
            faults += faults_of(kind, problem, habits, text)
        return kind()
    before = len(faults) + len(doubts)
    for steps, read, wanted in section.own_faults():
        path = (kind.TABLE, *steps)
        faults.append(Fault(key=joined(path), line=line_of(text, path), read=read, wanted=wanted))
    for steps, read, wanted in section.read_files(folder):  # costs what needs the file, not the build
        path = (kind.TABLE, *steps)
        doubts.append(Doubt(key=joined(path), line=line_of(text, path), what=read, suggestion=wanted))
    if before == len(faults) + len(doubts) and kind.read_files is Section.read_files:
        _LAST[kind] = habits, raw, section
    return section


_LAST: dict[type[Section], tuple[Habits, dict[str, Any], Section]] = {}
"""Of each table the last that was read without a fault: an edit leaves all but one of them as they were."""
