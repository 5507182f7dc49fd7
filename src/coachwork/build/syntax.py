"""TOML that cannot be read: on which line, and what to write instead.

The TOML reader stops at its first complaint. Here the faulty line is left out and the rest read again, as long as the
fault is that line's own, so that a builder learns of ten slips in one go and not one after the other.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from coachwork.build.entries import as_typed
from coachwork.build.lines import joined
from coachwork.build.places import places
from coachwork.errors import Fault

MOST_FAULTS = 40  # whoever has more than this gave us another kind of file
_BUDGET = 1_000_000  # characters to read again while looking for the start of a fault; about a second


@dataclass(frozen=True, kw_only=True)
class Readable:
    """What could be read of a text.

    tables : None when there is no telling what the rest would mean
    text   : with the faulty lines left empty, so that lines keep their numbers
    """

    tables: dict[str, Any] | None
    text: str
    faults: list[Fault]


def readable(text: str) -> Readable:
    """The tables of a TOML text, and every fault in how they are written."""
    lines = text.split("\n")
    faults: list[Fault] = []
    while True:
        try:
            return Readable(tables=_loads(lines), text="\n".join(lines), faults=faults)
        except (ValueError, RecursionError) as complaint:  # TOMLDecodeError is a ValueError
            reported = _reported_line(lines, complaint)
            start = _start_of_statement(lines, reported)
            written = lines[start - 1].strip()
            faults.append(
                Fault(
                    key="",
                    line=start,
                    read=f"cannot read {_quoted(written)}" if written else "cannot read this line",
                    wanted=_wanted(lines, start, _plain(complaint)),
                )
            )
            lines[start - 1] = ""
            if written.startswith("[") or not written or len(faults) == MOST_FAULTS or not _reads(lines[:reported]):
                return Readable(tables=None, text="", faults=faults)


def _loads(lines: list[str]) -> dict[str, Any]:
    return loaded("\n".join(lines))


@lru_cache(maxsize=4)  # one edit asks for its text before and after several times
def loaded(text: str) -> dict[str, Any]:
    """The tables of a TOML text, to be looked at only; numbers with a point keep their digits.

    Raises tomllib.TOMLDecodeError, or RecursionError.
    """
    return tomllib.loads(text, parse_float=as_typed)


def _reads(lines: list[str]) -> bool:
    try:
        _loads(lines)
    except (ValueError, RecursionError):
        return False
    return True


def _reported_line(lines: list[str], complaint: Exception) -> int:
    """The line the TOML reader stopped at; it has none for a number or a nesting without end."""
    if match := re.search(r"\(at line (\d+), column \d+\)", str(complaint)):
        return min(int(match[1]), len(lines))
    if isinstance(complaint, RecursionError):
        return 1 + max(range(len(lines)), key=lambda i: lines[i].count("[") + lines[i].count("{") + lines[i].count("."))
    endless = (i for i, line in enumerate(lines, start=1) if re.search(r"[\d_]{1000}", line))
    return next(endless, len(lines))


def _start_of_statement(lines: list[str], reported: int) -> int:
    """Where the statement begins whose end was missed: just behind the longest beginning that reads by itself."""
    tries = 1 + _BUDGET // (1 + sum(map(len, lines)))
    for start in range(reported, max(0, reported - tries), -1):
        if _reads(lines[: start - 1]):
            return start
    return reported


def _plain(complaint: Exception) -> str:
    text = re.sub(r" \(at .*\)$", "", str(complaint))
    return text[:1].lower() + text[1:]


def _quoted(written: str) -> str:
    shown = "".join(c if c.isprintable() else "?" for c in written[:80])
    return f"`{shown}`" + (" (and so on)" if len(written) > 80 else "")


def _wanted(lines: list[str], start: int, complaint: str) -> str:
    """What to write instead, by the shape of what stands there."""
    written = lines[start - 1].strip()
    if complaint.startswith(("cannot overwrite", "cannot declare", "cannot mutate", "duplicate inline")):
        return _twice(lines, start)
    if any(not (c.isprintable() or c == "\t") for c in written):
        return "there is a character that cannot be seen or printed; delete the line and type it again"
    if written.startswith(("//", ";", "--", "%", "/*")):
        return "a comment starts with #"
    if written.startswith("["):
        return _header(written)
    key, equals, value = (part.strip() for part in written.partition("="))
    if not equals:
        return _no_equals(written)
    if not _is_key(key):
        return _odd_key(key, value)
    if not value or value.startswith("#"):
        return f'write "?" while it is not measured: {key} = "?"'
    return _value(key, value) or f"TOML reads key = value, one a line ({complaint})"


def _twice(lines: list[str], start: int) -> str:
    here = places("\n".join(lines[:start]))
    twice = [place.path for place in here if place.line == start]
    for place in here:
        if place.path in twice and place.line != start:
            what = f"[{joined(place.path)}]" if lines[start - 1].strip().startswith("[") else joined(place.path)
            return f"{what} stands on line {place.line} already; keep one of the two"
    return "this key or table stands in the file twice; keep one"


def _header(written: str) -> str:
    name = re.sub(r"[^\w.\-]+", "-", written.split("#")[0].strip("[]= \t")).strip("-")
    return f"a table's name stands alone on its line, in brackets, without blanks: [{name or 'shell'}]"


def _is_key(key: str) -> bool:
    return (
        re.fullmatch(r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*""", key)
        is not None
    )


def _no_equals(written: str) -> str:
    if colon := re.fullmatch(r"([\w.-]+)\s*:\s*(.+)", written):
        return f"write = between key and value: {colon[1]} = {colon[2]}"
    if bare := re.fullmatch(r"([A-Za-z][\w.-]*)\s+([-+~\d\"'].*)", written):
        return f"write = between key and value: {bare[1]} = {bare[2]}"
    return "every line is key = value, a [table] or a # comment"


def _odd_key(key: str, value: str) -> str:
    if not key:
        return "there is no key before the ="
    plain = re.sub(r"[^\w.\-]+", "-", key).strip("-")
    return f"a key has letters, digits and hyphens only: {plain} = {value}"


def _value(key: str, value: str) -> str | None:
    bare = value.split(" #")[0].strip()  # without a comment
    if bare[0] in "“”„‘’«»":
        return f'use plain quotes: {key} = "{bare.strip("“”„‘’«»")}"'
    if bare.startswith("["):
        return _list(key, bare)
    if bare.startswith("{"):
        return "the braces { } do not close on this line, or there is a comma too many or too few between them"
    if bare[0] in "\"'":
        return _in_quotes(key, bare)
    if bare == "?":
        return f'put the question mark in quotes: {key} = "?"'
    if bare.startswith("="):
        return f"one = is enough: {key} = {bare.strip('= ')}"
    if re.fullmatch(r"[-+]?\d+,\d+", bare):
        return f"write the decimal with a point: {key} = {bare.replace(',', '.')}"
    if re.fullmatch(r"[-+]?\d+\.{2,}\d+", bare):
        low, high = re.split(r"\.+", bare)
        return f'one point is enough: {key} = {low}.{high}; a range stands in quotes: {key} = "{low} .. {high}"'
    if re.fullmatch(r"[-+]?\d+\.", bare):
        return f"a digit has to follow the point: {key} = {bare}0"
    if re.fullmatch(r"[-+]?\.\d+", bare):
        return f"a digit has to stand before the point: {key} = {bare.replace('.', '0.')}"
    if re.fullmatch(r"[-+]?0\d+(\.\d+)?", bare):
        return f"a number cannot start with a zero and a digit: {key} = {re.sub(r'0+(?=[0-9])', '', bare, count=1)}"
    if re.fullmatch(r"[-+]?[\d_]{1000,}.*", bare):
        return "this number has more than a thousand digits"
    if re.match(r"[-+~.±\d½¼¾]", bare):
        plain = bare.replace('"', " in").rstrip(";,")
        return f'put a number with a unit, a spread or a guess in quotes: {key} = "{plain}"'
    if re.match(r"[^\W\d]", bare):
        if bare.lower() in ("true", "false", "yes", "no"):
            return "yes is written true, no is written false, and both only where the key asks for one of them"
        return f'put text in quotes: {key} = "{bare}"'
    return None


def _list(key: str, bare: str) -> str | None:
    if bare.count("[") > bare.count("]"):
        return "the list does not close; it ends with ]"
    if ";" in bare:
        return f"the numbers of a list are separated by commas: {key} = {bare.replace(';', ',')}"
    items = [item.strip() for item in bare.strip("[]").split(",")]
    if any(re.fullmatch(r"[-+]?[\d.]+(\s+[-+]?[\d.]+)+", item) for item in items):
        return (
            f"the numbers of a list are separated by commas: {key} = [{', '.join(n for i in items for n in i.split())}]"
        )
    if any(re.search(r"[A-Za-z~±/ ]", item) and item[:1] not in "\"'" for item in items):
        quoted = [f'"{item}"' if re.search(r"[A-Za-z~±/ ]", item) and item[:1] not in "\"'" else item for item in items]
        return (
            f"in a list, too, a number with a unit, a spread or a guess stands in quotes: {key} = [{', '.join(quoted)}]"
        )
    return "a list is numbers or texts in quotes, separated by single commas"


def _in_quotes(key: str, bare: str) -> str | None:
    mark = bare[0]
    if bare.count(mark) == 1:
        return f"the quotes do not close: {key} = {bare}{mark}"
    if mark == '"' and bare.endswith('""'):
        return f'for inches inside quotes write in: {key} = "{bare.strip(chr(34)).strip()} in"'
    if mark == '"' and "\\" in bare:
        return (
            f"a backslash means something else inside double quotes; use single ones: {key} = '{bare.strip(chr(34))}'"
        )
    if behind := re.fullmatch(rf"({mark}[^{mark}]*{mark})\s*(\S.*)", bare):
        inside = behind[1].strip(mark)
        return f'the unit belongs inside the quotes: {key} = "{inside} {behind[2]}"'
    return None
