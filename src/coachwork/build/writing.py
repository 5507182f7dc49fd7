"""Writing to a build file: comments and layout kept, never half a file, never over somebody else's edit."""

from __future__ import annotations

import json
import os
import re
import tempfile
import tomllib
from pathlib import Path
from typing import Any

from coachwork.build.fields import Field, field_of, steps_of
from coachwork.build.lines import AXES
from coachwork.build.places import Place, Steps, places
from coachwork.build.reading import read_text
from coachwork.build.syntax import loaded
from coachwork.build.vehicle import Build
from coachwork.errors import CoachworkError, EditedElsewhere

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_PLAIN_NUMBER = re.compile(r"[+-]?(0|[1-9][0-9]*)(\.[0-9]+)?")
_BLANK_LINE = r"""^([ \t]*)\#[ ]?{name}[ \t]*=[ \t]*(?:"\?"|\["\?",[ ]"\?",[ ]"\?"\])"""


def with_entry(text: str, key: str, value: str | float) -> str:
    """The file's text with one key set; every other character as it was.

    key    : `shell.wheelbase`, `running-gear.front.arm-pin-front`, or the latter with `.x` for one of its coordinates
    value  : what the builder would type, with or without the quotes that the file needs; a point is `[x, y, z]`
    Raises : KeyError for a key that no build file has; CoachworkError where the text is laid out so oddly that the
             key cannot be put in without touching the rest
    """
    path: Steps = steps_of(key)
    field = field_of(key)
    assert field is not None
    whole = field.holds == "point" and len(path) == field.key.count(".") + 1
    known = places(text)
    if whole and any(place.path[:-1] == path and place.path[-1] in AXES for place in known):
        for name, coordinate in zip(AXES, _coordinates(str(value)) or [str(value)] * 3, strict=True):
            text = with_entry(text, f"{key}.{name}", coordinate)
        return text
    literal = _point(str(value)) if whole else _literal(value, field)
    axis = AXES.get(str(path[-1])) if field.holds == "point" and not whole else None
    if axis is not None and not any(place.path == path for place in known):
        form = next((place.form for place in known if place.path == path[:-1]), None)
        in_lines = any(place.path[:-1] == path[:-1] for place in known)  # such as hub-face.x = 3
        if form == "list":
            path = (*path[:-1], axis)
        elif form == "value" or (form is None and not in_lines):  # nothing of the point is known yet
            path, literal = path[:-1], f"[{', '.join(literal if i == axis else _quoted('?') for i in range(3))}]"
    new = _replaced(text, known, path, literal) or _uncommented(text, known, path, literal)
    new = new or _added(text, known, path, literal)
    if _without(new, path) != _without(text, path):
        raise CoachworkError(f"{key} cannot be put in without touching the rest of the file; type it in by hand")
    return new


def _literal(value: str | float, field: Field) -> str:
    """A value as TOML; a number keeps the digits it was typed with, since 12.50 on a label says more than 12.5."""
    written = _out_of_quotes(str(value).strip())
    if field.holds in ("text", "choice"):
        return _quoted(written)
    if _PLAIN_NUMBER.fullmatch(written) or (field.holds == "yes-or-no" and written in ("true", "false")):
        return written
    return _quoted(written)


def _out_of_quotes(text: str) -> str:
    """A text without the quotes it would stand in, where it was typed with both of them.

    >>> _out_of_quotes('"10 1/2 in"'), _out_of_quotes('10 1/2"')
    ('10 1/2 in', '10 1/2"')
    """
    if text[:1] not in ('"', "'") or "\n" in text:
        return text
    try:
        held = tomllib.loads(f"held = {text}")["held"]
    except tomllib.TOMLDecodeError:
        return text
    return held if isinstance(held, str) else text


def _coordinates(value: str) -> list[str] | None:
    """The three texts of `[x, y, z]`, whose inner quotes may lack; None for what is no such list."""
    inside = value.strip()
    if not (inside.startswith("[") and inside.endswith("]")):
        return None
    items = [_out_of_quotes(item.strip()) for item in inside[1:-1].split(",")]
    return items if len(items) == 3 else None


def _point(value: str) -> str:
    """A point as TOML: what the file takes as it is, else a list whose units, spreads and guesses get their quotes."""
    items = _coordinates(value)
    if items is not None:
        return f"[{', '.join(item if _PLAIN_NUMBER.fullmatch(item) else _quoted(item) for item in items)}]"
    try:
        held = tomllib.loads(f"held = {value}")
    except tomllib.TOMLDecodeError:
        held = {}
    as_it_is = "\n" not in value and isinstance(held.get("held"), (list, dict))  # the reader says what is wrong with it
    return value.strip() if as_it_is else _quoted(value.strip())


def _quoted(text: str) -> str:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise CoachworkError("the value is not readable text") from None
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _name(step: str | int) -> str:
    return str(step) if _BARE.fullmatch(str(step)) else _quoted(str(step))


def _dotted(path: Steps) -> str:
    return ".".join(_name(step) for step in path)


def _replaced(text: str, known: list[Place], path: Steps, literal: str) -> str | None:
    """The value that stands there already, exchanged."""
    for place in known:
        if place.path == path and place.form != "header":
            return text[: place.start] + literal + text[place.end :]
    return None


def _uncommented(text: str, known: list[Place], path: Steps, literal: str) -> str | None:
    """The line that `coachwork new` left for this key, filled in."""
    headers = [place for place in known if place.form == "header"]
    for i, header in enumerate(headers):
        if header.path == path[:-1]:
            end = headers[i + 1].start if i + 1 < len(headers) else len(text)
            line = re.compile(_BLANK_LINE.format(name=re.escape(_name(path[-1]))), re.MULTILINE | re.VERBOSE)
            if found := line.search(text, header.end, end):
                return f"{text[: found.start()]}{found[1]}{_name(path[-1])} = {literal}{text[found.end() :]}"
    return None


def _added(text: str, known: list[Place], path: Steps, literal: str) -> str:
    """A key that stands nowhere yet: below its header, inside its braces, or under a header of its own."""
    newline = "\r\n" if "\r\n" in text else "\n"
    for depth in range(len(path) - 1, 0, -1):
        parent, rest = path[:depth], path[depth:]
        family = [place for place in known if place.path[:depth] == parent]
        braces = next((place for place in family if place.path == parent and place.form == "inline table"), None)
        if braces is not None:
            empty = not text[braces.start + 1 : braces.end - 1].strip()
            inside = text[: braces.end - 1].rstrip()
            return f"{inside}{' ' if empty else ', '}{_dotted(rest)} = {literal} {text[braces.end - 1 :]}"
        if any(place.path == parent and place.form == "header" for place in family) and len(rest) == 1:
            return _line_after(text, _last(known, parent), f"{_dotted(rest)} = {literal}", newline)
        dotted = [place for place in family if place.form != "header" and len(place.table) < depth]
        if dotted:  # the parent exists only in keys such as front.wheel.inset: go on in the same way
            last = max(dotted, key=lambda place: place.end)
            return _line_after(text, last, f"{_dotted(path[len(last.table) :])} = {literal}", newline)
        if family:
            at = _end_of_block(text, known, max(family, key=lambda place: place.end))
            header = f"[{_dotted(path[:-1])}]{newline}{_dotted(path[-1:])} = {literal}{newline}"
            before, behind = text[:at].rstrip(), text[at:]
            return f"{before}{newline * 2}{header}{newline if behind else ''}{behind}"
    start = text.rstrip()
    return (
        f"{start}{newline * 2 if start else ''}[{_dotted(path[:-1])}]{newline}{_dotted(path[-1:])} = {literal}{newline}"
    )


def _last(known: list[Place], table: Steps) -> Place:
    """What ends last below a header, or the header itself."""
    return max((place for place in known if place.table == table), key=lambda place: place.end)


def _end_of_block(text: str, known: list[Place], place: Place) -> int:
    """Where a new header may stand behind something: before the next header and the comment right above that."""
    later = [other.start for other in known if other.form == "header" and other.start >= place.end]
    if not later:
        return len(text)
    at = text.rfind("\n", 0, min(later)) + 1
    while (above := text.rfind("\n", 0, at - 1) + 1) < at and text[above:at].lstrip().startswith("#"):
        at = above
    return at


def _line_after(text: str, place: Place, line: str, newline: str) -> str:
    """A line put in below the line on which something ends."""
    end = text.find("\n", place.end)
    if end < 0:
        return f"{text}{newline}{line}{newline}"
    return f"{text[: end + 1]}{line}{newline}{text[end + 1 :]}"


def _without(text: str, path: Steps) -> Any:
    """What the text holds, less what stands at a path and the tables that are empty then."""
    try:
        data: Any = loaded(text)
    except tomllib.TOMLDecodeError:
        return text

    def strip(here: Any, steps: Steps) -> Any:
        if not steps or not isinstance(here, (dict, list)):
            return None
        if isinstance(here, list):
            return [strip(item, steps[1:]) if i == steps[0] else item for i, item in enumerate(here)]
        kept = {name: strip(item, steps[1:]) if name == steps[0] else item for name, item in here.items()}
        return {name: item for name, item in kept.items() if item is not None} or None

    return strip(data, path)


def write(build: Build, text: str) -> Build:
    """Put a new text in place of a build's file and return the build it makes.

    Raises BuildRefused (the new text has faults) or EditedElsewhere (the file is not what `build` was read from);
    the file is untouched then.
    """
    fresh = read_text(text, build.path)
    exchange(build.path, build.text, text)
    return fresh


def exchange(path: Path, old: str, new: str) -> None:
    """A file's text for another, which nobody looks at. Raises EditedElsewhere where the file does not hold the old."""
    before = path.read_bytes() if path.exists() else b""
    if before and before.decode("utf-8-sig", errors="replace") != old:
        raise EditedElsewhere(
            f"{path} was changed by another program since it was read; nothing was written, read it again"
        )
    mark = "\ufeff" if before.startswith(b"\xef\xbb\xbf") else ""
    write_whole(path, mark + new)


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file so that a reader sees the old one or the new one, never a part, whatever happens."""
    path = path.resolve()  # a link keeps pointing to the file; the file is what is replaced
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content.encode("utf-8") if isinstance(content, str) else content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            os.chmod(beside, path.stat().st_mode & 0o777)
        else:
            umask = os.umask(0)
            os.umask(umask)
            os.chmod(beside, 0o666 & ~umask)
        os.replace(beside, path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
