"""Reading a build file: TOML text to sections, all faults found in one pass, each with its line and the right form."""

from __future__ import annotations

import difflib
import re
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from coachwork.build.entries import Habits, as_typed
from coachwork.build.lines import line_of
from coachwork.build.plausibility import doubts_about
from coachwork.build.section import Section, kebab
from coachwork.build.sections.measuring import Measuring
from coachwork.build.tables import tables
from coachwork.build.vehicle import Build, S
from coachwork.errors import BuildMissing, BuildRefused, Fault
from coachwork.quantity import Unreadable

FILE_NAME = "build.toml"
FORMAT = 1
MOST_BYTES = 2_000_000  # a build of 60 boxes is under 60 kB; anything near this is not a build file
Path_ = tuple[str | int, ...]


def find(place: Path) -> Path:
    """The build file of a folder, or the file itself. Raises BuildMissing."""
    file = place / FILE_NAME if place.is_dir() else place
    if not file.is_file():
        raise BuildMissing(f"{place}: no {FILE_NAME} there; start one with: coachwork new {place}")
    return file


def read(place: Path | str) -> Build:
    """Read the build in a folder (or a build file). Raises BuildMissing or BuildRefused with every fault found."""
    path = find(Path(place))
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise BuildRefused(
            path,
            [
                Fault(
                    key="",
                    line=None,
                    read=f"the file has {size} bytes",
                    wanted=f"a build file has a few thousand, {MOST_BYTES} at the most",
                )
            ],
        )
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = path.read_bytes()[: fault.start].count(b"\n") + 1
        raise BuildRefused(
            path,
            [Fault(key="", line=line, read="this is not UTF-8 text", wanted="save the file as plain text in UTF-8")],
        ) from None
    return read_text(text, path)


def read_text(text: str, path: Path) -> Build:
    """Read a build from text; `path` only names it. Raises BuildRefused."""
    faults: list[Fault] = []
    raw = _toml(text, path)
    measuring = _section(Measuring, raw.get(Measuring.TABLE, {}), Habits(), text, faults)
    sections: dict[type[Section], Section] = {}
    for table, kind in tables().items():
        habits = replace(measuring.habits(), everything=kind.INSTRUMENT)
        found = measuring if kind is Measuring else _section(kind, raw.get(table, {}), habits, text, faults)
        sections[kind] = found.keyed(table)
    faults += [_unknown((name,), list(tables()), text) for name in raw if name not in tables()]
    about = raw.get("build")
    if isinstance(about, dict) and isinstance(about.get("format"), int) and about["format"] != FORMAT:
        faults.append(
            Fault(
                key="build.format",
                line=line_of(text, ("build", "format")),
                read=f"the file says format {about['format']}",
                wanted=f"this version of coachwork reads format {FORMAT}",
            )
        )
    if faults:
        raise BuildRefused(path, faults)
    build = Build(path=path, text=text, sections=sections)
    return Build(path=path, text=text, sections=sections, doubts=tuple(doubts_about(build)))


def _toml(text: str, path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(text, parse_float=as_typed)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as fault:
        match = re.search(r"\(at line (\d+), column \d+\)", str(fault))
        last = max(1, len(text.splitlines()))
        line = int(match[1]) if match else last
        raise BuildRefused(path, [_syntax(text, line, str(fault))]) from None


def _syntax(text: str, line: int, complaint: str) -> Fault:
    """A TOML fault in words a builder can act on."""
    lines = text.splitlines()
    written = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    key, _, value = (part.strip() for part in written.partition("="))
    complaint = re.sub(r" \(at .*\)$", "", complaint)
    wanted = f"TOML reads key = value, one a line ({complaint[:1].lower()}{complaint[1:]})"
    if re.fullmatch(r"[-+]?\d+,\d+", value):
        wanted = f"write the decimal with a point: {key} = {value.replace(',', '.')}"
    elif re.match(r"[-+~.\d]", value) and not value.startswith('"'):
        wanted = f'put a number with a unit, a spread or a guess in quotes: {key} = "{value}"'
    elif value and value[0] in "\"'" and value.count(value[0]) % 2:
        wanted = "the quotes do not close"
        if value.count('"') == 3:
            wanted = f'for inches inside quotes write in: {key} = "{value.strip(chr(34))} in"'
    elif complaint.startswith(("Cannot overwrite", "Cannot declare", "Cannot mutate")):
        wanted = "this key or table stands in the file twice; keep one"
    elif "=" not in written and not written.startswith("["):
        wanted = "every line is key = value, a [table] or a # comment"
    elif not value and "=" in written:
        wanted = f'write "?" while it is not measured: {key} = "?"'
    return Fault(
        key="", line=line, read=f"cannot read {written[:80]!r}" if written else "cannot read this line", wanted=wanted
    )


def _section(kind: type[S], raw: Any, habits: Habits, text: str, faults: list[Fault]) -> S:
    """A section from its table; blank where faulty, with the faults listed."""
    if not isinstance(raw, dict):
        faults.append(
            Fault(
                key=kind.TABLE,
                line=line_of(text, (kind.TABLE,)),
                read=f"read {_told(raw)}",
                wanted=f"a table is wanted: a line [{kind.TABLE}], then its keys below",
            )
        )
        return kind()
    try:
        return kind.model_validate({kind.NAMES: raw} if kind.NAMES else raw, context=habits)
    except ValidationError as error:
        faults += [_fault(kind, problem, text) for problem in error.errors(include_url=False)]
        return kind()


def _fault(kind: type[Section], problem: Any, text: str) -> Fault:
    """One of pydantic's problems in our words."""
    steps: Path_ = tuple(problem["loc"])[1:] if kind.NAMES else tuple(problem["loc"])
    path: Path_ = (kind.TABLE, *steps)
    key = _key(path)
    told = f"read {_told(problem['input'])}"
    if problem["type"] == "unreadable":
        fault: Unreadable = problem["ctx"]["fault"]
        return Fault(key=key, line=line_of(text, path), read=f"read {fault.read}", wanted=fault.why)
    if problem["type"] == "extra_forbidden":
        return _unknown(path, _names(kind, tuple(problem["loc"])[:-1]), text)
    if problem["type"] == "literal_error":
        return _choice(path, problem["input"], re.findall(r"'([^']+)'", problem["ctx"]["expected"]), text)
    wanted = {
        "model_type": f"a table is wanted here: [{key}] and its keys below, or {{ key = value }}",
        "dict_type": f"a table of names is wanted here: [{key}] and its keys below",
        "point": "a point is three lengths: [x, y, z]",
        "string_type": "text in quotes is wanted",
        "int_type": "a whole number is wanted",
        "bool_type": "true or false is wanted, without quotes",
        "missing": f"{path[-1]} has to be given here",
    }.get(problem["type"], problem["msg"])
    if problem["type"] == "missing":
        told = "it is left out"
    return Fault(key=key, line=line_of(text, path), read=told, wanted=wanted)


def _names(kind: type[Section], loc: Path_) -> list[str]:
    """The keys a table knows, for the nearest one to a typo."""
    here: Any = kind
    for step in loc:
        if isinstance(step, str) and isinstance(here, type) and issubclass(here, Section):
            field = next((f for name, f in here.model_fields.items() if kebab(name) == step), None)
            inner = field.annotation if field is not None else None
            arguments = getattr(inner, "__args__", ())
            here = next((a for a in arguments if isinstance(a, type) and issubclass(a, Section)), inner)
    return [kebab(name) for name in here.model_fields] if isinstance(here, type) and issubclass(here, Section) else []


def _unknown(path: Path_, known: list[str], text: str) -> Fault:
    near = difflib.get_close_matches(str(path[-1]).replace("_", "-").lower(), known, n=1, cutoff=0.5)
    what = "table" if len(path) == 1 else "key"
    hint = f"did you mean {near[0]}?" if near else f"this table knows {', '.join(known)}"
    if len(path) == 1:
        hint = f"did you mean [{near[0]}]?" if near else f"the tables are {', '.join(known)}"
    return Fault(key=_key(path), line=line_of(text, path), read=f"there is no {what} of this name", wanted=hint)


def _choice(path: Path_, read: Any, choices: list[str], text: str) -> Fault:
    near = difflib.get_close_matches(str(read), choices, n=1, cutoff=0.5)
    hint = f'did you mean "{near[0]}"? ' if near else ""
    listed = ", ".join(f'"{choice}"' for choice in choices)
    return Fault(
        key=_key(path), line=line_of(text, path), read=f"read {_told(read)}", wanted=f"{hint}one of {listed} is wanted"
    )


def _key(path: Path_) -> str:
    return "".join(f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in path).lstrip(".")


def _told(raw: Any) -> str:
    """What was read, the way it stands in the file."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, str):
        return f'"{raw[:60]}"' + (" (and so on)" if len(raw) > 60 else "")
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, list):
        return f"a list of {len(raw)}"
    return str(raw)
