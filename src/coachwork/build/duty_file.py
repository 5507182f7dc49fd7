"""A round of driving as a builder's own table: a CSV file, one leg a line, every slip told with its line."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

MOST_BYTES, MOST_LEGS = 1_000_000, 5_000
LOADS = ("quiet", "usual", "heavy")
EXAMPLE = "seconds, speed m/s, gradient %, loads, what"
# Column -> what a number there is multiplied by to be s, m/s and a ratio.
_TIME = {"seconds": 1.0, "minutes": 60.0}
_SPEED = {"speed m/s": 1.0, "speed km/h": 1 / 3.6, "speed mph": 0.44704}
_OTHERS = {"gradient %": 0.01}
_NAMES = (*_TIME, *_SPEED, *_OTHERS, "loads", "what")


@dataclass(frozen=True, kw_only=True)
class Row:
    """One leg. gradient : rise over level way, up positive"""

    seconds: float
    speed_m_s: float
    gradient: float
    loads: str
    what: str


@dataclass(frozen=True)
class Slip:
    """What is wrong on a line of the file (None: with the whole), and what is wanted there."""

    line: int | None
    read: str
    wanted: str


def read_duty(path: Path) -> tuple[tuple[Row, ...], tuple[Slip, ...]]:
    """The legs, and everything wrong with the file; legs only where nothing is."""
    try:
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except OSError as fault:
        return (), (Slip(None, f"{path} cannot be read: {(fault.strerror or str(fault)).lower()}", _WANTED),)
    if len(raw) > MOST_BYTES:
        return (), (Slip(None, f"{path} has more than {MOST_BYTES} bytes", "a round of driving is a page at most"),)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return (), (Slip(None, f"{path} is not UTF-8 text", "save the table as CSV in UTF-8"),)
    return legs_of(text)


_WANTED = f"a CSV file beside the build file is wanted, its first line such as: {EXAMPLE}"


def legs_of(text: str) -> tuple[tuple[Row, ...], tuple[Slip, ...]]:
    """The legs of a CSV text, and its slips.

    >>> rows, slips = legs_of("seconds, speed km/h\\n20, 3.6\\n10, 0\\n")
    >>> [(row.seconds, round(row.speed_m_s, 3), row.loads) for row in rows], slips
    ([(20.0, 1.0, 'usual'), (10.0, 0.0, 'usual')], ())
    """
    if "\0" in text:
        return (), (Slip(None, "this is not text", _WANTED),)
    lines = [(i, line) for i, line in enumerate(text.splitlines(), start=1) if line.strip() and line.lstrip()[0] != "#"]
    if not lines:
        return (), (Slip(None, "the file is empty", _WANTED),)
    mark = max(",;\t", key=lines[0][1].count)
    names = [" ".join(cell.lower().replace("(", " ").replace(")", " ").split()) for cell in _cells(lines[0][1], mark)]
    slips = list(_of_names(lines[0][0], names))
    if slips:
        return (), tuple(slips)
    if len(lines) - 1 > MOST_LEGS:
        return (), (Slip(None, f"{len(lines) - 1} legs", f"at most {MOST_LEGS} are wanted"),)
    rows = []
    for number, line in lines[1:]:
        cells = [cell.strip() for cell in _cells(line, mark)]
        row = _row(number, names, cells, slips)
        if row is not None:
            rows.append(row)
    if not slips and not rows:
        slips.append(Slip(None, "there are no legs below the first line", f"write one a line, under {EXAMPLE}"))
    if not slips and not any(row.speed_m_s > 0 for row in rows):
        slips.append(Slip(None, "the vehicle never moves", "at least one leg with a speed is wanted"))
    return (() if slips else tuple(rows)), tuple(slips)


def _cells(line: str, mark: str) -> list[str]:
    return next(csv.reader([line], delimiter=mark, skipinitialspace=True), [])


def _of_names(line: int, names: list[str]) -> Iterator[Slip]:
    for name in names:
        if name not in _NAMES:
            yield Slip(line, f'read "{name}", which is no column', f"the columns are {', '.join(_NAMES)}")
        elif names.count(name) > 1:
            yield Slip(line, f'two columns "{name}"', "each stands once")
            return
    for kind, what in ((_TIME, "time"), (_SPEED, "speed")):
        found = [name for name in names if name in kind]
        if len(found) != 1:
            yield Slip(line, f"{len(found)} columns of {what}", f"one is wanted: {' or '.join(kind)}")


def _row(line: int, names: list[str], cells: list[str], slips: list[Slip]) -> Row | None:
    if len(cells) > len(names):
        hint = "; write decimals with a point, 0.8" if all("," not in name for name in names) else ""
        slips.append(Slip(line, f"{len(cells)} cells under {len(names)} columns", f"one cell a column is wanted{hint}"))
        return None
    values = dict(zip(names, cells, strict=False))
    before = len(slips)
    seconds = _number(line, values, _TIME, slips, low=0.0, high=86_400.0, strictly=True)
    speed = _number(line, values, _SPEED, slips, low=0.0, high=40.0)
    gradient = _number(line, values, _OTHERS, slips, low=-1.0, high=1.0, blank=0.0)
    loads = values.get("loads", "").lower() or "usual"
    if loads not in LOADS:
        slips.append(Slip(line, f'read "{loads}" under loads', f"{', '.join(LOADS[:-1])} or {LOADS[-1]} is wanted"))
    if len(slips) > before:
        return None
    return Row(seconds=seconds, speed_m_s=speed, gradient=gradient, loads=loads, what=values.get("what", ""))


def _number(
    line: int, values: dict[str, str], kinds: dict[str, float], slips: list[Slip], *, low: float, high: float,
    blank: float | None = None, strictly: bool = False,
) -> float:  # fmt: skip
    name = next((name for name in values if name in kinds), None)
    text = values.get(name, "") if name is not None else ""
    if not text:
        if blank is None:
            column = name or next(iter(kinds))
            slips.append(Slip(line, f"nothing under {column}", "a number is wanted"))
        return blank or 0.0
    assert name is not None
    try:
        value = float(text) * kinds[name]
    except ValueError:
        point = text.replace(",", ".")
        try:
            float(point)
            wanted = f"write decimals with a point: {point}"
        except ValueError:
            wanted = "a plain number is wanted; its unit stands in the first line"
        slips.append(Slip(line, f'read "{text}" under {name}', wanted))
        return 0.0
    if not math.isfinite(value) or not low <= value <= high or (strictly and value == low):
        least, most = low / kinds[name], high / kinds[name]
        span = f"more than {least:g} and at most" if strictly else f"{least:g} to"
        wanted = f"{span} {most:.4g} is wanted"
        slips.append(Slip(line, f"read {text} under {name}", wanted))
    return value
