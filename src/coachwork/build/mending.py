"""A number put into a file that cannot be read yet: the one thing a builder does to mend it."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from coachwork.build.fields import steps_of
from coachwork.build.places import Steps, places
from coachwork.build.reading import read_text
from coachwork.build.syntax import readable
from coachwork.build.writing import exchange, with_entry
from coachwork.errors import BuildRefused, Fault

_PUT_ASIDE = "#put-aside-by-coachwork-{}#"  # in place of a line that is no TOML, while the number is put in


def mend(path: Path, text: str, key: str, value: str) -> BuildRefused | None:
    """Put one key into a faulty build file, if that makes no new fault.

    text    : what the file holds
    Returns : what is left to put right; None when the file can be read now
    Raises  : BuildRefused with what is wrong with this key, KeyError or CoachworkError as with_entry; the file is
              untouched then
    """
    new = _put_in(text, key, value)
    left = _refusal(new, path)
    if left is not None:
        known = {(fault.key, fault.read) for fault in _faults(text, path)}
        fresh = [fault for fault in left.faults if _is_of(fault, key) or (fault.key, fault.read) not in known]
        if fresh:
            raise BuildRefused(path, fresh)
    exchange(path, text, new)
    return left


def _refusal(text: str, path: Path) -> BuildRefused | None:
    try:
        read_text(text, path)
    except BuildRefused as refused:
        return refused
    return None


def _faults(text: str, path: Path) -> list[Fault]:
    refused = _refusal(text, path)
    return [] if refused is None else refused.faults


def _is_of(fault: Fault, key: str) -> bool:
    return fault.key == key or fault.key.startswith(f"{key}.")


def _put_in(text: str, key: str, value: str) -> str:
    """with_entry, with the lines that are no TOML put aside meanwhile; one that is about this key gives way."""
    found = readable(text)
    if found.tables is None or found.text == text:
        return with_entry(text, key, value)
    path, lines, kept = steps_of(key), text.split("\n"), found.text.split("\n")
    for number, (line, left) in enumerate(zip(lines, kept, strict=True)):
        if line == left:
            continue
        mine = re.match(r"\s*([\w.-]+)\s*[=:]", line)
        if mine is not None and (*_header_over(found.text, number + 1), *mine[1].split(".")) == path:
            name = mine[1]
            kept[number] = f'{name} = "?"' if _reads([*kept[:number], f'{name} = "?"', *kept[number + 1 :]]) else ""
        else:
            kept[number] = _PUT_ASIDE.format(number)
    new = with_entry("\n".join(kept), key, value)
    for number, line in enumerate(lines):
        new = new.replace(_PUT_ASIDE.format(number), line, 1)
    return new


def _header_over(text: str, line: int) -> Steps:
    headers = [place.path for place in places(text) if place.form == "header" and place.line < line]
    return headers[-1] if headers else ()


def _reads(lines: list[str]) -> bool:
    try:
        tomllib.loads("\n".join(lines))
    except tomllib.TOMLDecodeError:
        return False
    return True
