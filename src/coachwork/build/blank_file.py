"""A build file with nothing in it yet: every key of every table, commented out, with what to put the callipers on."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from coachwork.build.fields import NAME, Field, Table, file_tables

WIDTH = 110
# Tables that a builder needs later than their place in the vehicle says.
_LATE = ("measuring",)
_FOREWORD = """\
A Coachwork build: one vehicle, one file. Fill in what you have measured, in any order, and run: coachwork check

Every line is optional. Take the # off and put your reading in place of the question mark:

    wheelbase = 267                     the usual unit of its kind, by callipers
    wheelbase = "10 1/2 in"             another unit stands in quotes
    wheelbase = "267 ± 0.3 mm"          how far it may be off, each way
    wheelbase = "267 mm by ruler"       measured with something coarser
    wheelbase = "~ 265 mm"              a guess
    wheelbase = "?"                     not measured yet

A point is three lengths in one list, [x, y, z]: x forward, y to the left, z up. Measure the left-hand side."""


def blank_file() -> str:
    """The text; reading it gives a build that holds nothing."""
    lines = [*_comment(_FOREWORD), ""]
    explained: dict[tuple[str, str], str] = {}  # a key and its words -> the header under which both stand
    late = [table for table in file_tables() if table.header in _LATE]
    for outer in (*(table for table in file_tables() if table.header not in _LATE), *late):
        for table in outer.walk():
            lines += _table(table, explained)
    return "\n".join(lines).rstrip() + "\n"


def _comment(text: str) -> Iterator[str]:
    for line in text.splitlines():
        yield f"# {line}".rstrip()


def _table(table: Table, explained: dict[tuple[str, str], str]) -> Iterator[str]:
    keys = [(field.name, field.note if field.ask is None else field.ask.how) for field in table.fields]
    where = {explained.setdefault(key, table.header) for key in keys}
    inner = "." in table.header  # the outer tables are where a builder starts to read, so they explain themselves
    first = where.pop() if inner and len(where) == 1 else table.header
    yield ""
    yield from _comment(textwrap.fill(table.about.splitlines()[0], WIDTH - 2))
    if first != table.header:
        yield f"# The keys are those of [{first}]."
    lines = [line for field in table.fields for line in _field(field, with_how=first == table.header)]
    if table.many or NAME in table.header.split("."):
        # The header holds a name of the builder's own, so all of it has to wait for that as a comment; further in than
        # the keys of the table above, with which it must not be mixed up.
        yield from (f"#   {line.removeprefix('# ')}".rstrip() for line in (f"[{table.header}]", *lines))
    else:
        yield from (f"[{table.header}]", *lines)


def _field(field: Field, *, with_how: bool) -> Iterator[str]:
    if field.key == "build.format":
        yield f"format = {field.default}  # of this file; leave it"
        return
    if with_how:
        yield ""
        if how := field.note if field.ask is None else field.ask.how:
            code = f" ({field.ask.code})" if field.ask is not None and field.ask.code else ""
            yield from _comment(textwrap.fill(f"{how[:1].upper()}{how[1:]}{code}.", WIDTH - 2))
    value = '["?", "?", "?"]' if field.holds == "point" else '"?"'
    told = "; ".join(_told(field))
    yield f"# {field.name} = {value}{f'  # {told}' if told else ''}"


def _told(field: Field) -> Iterator[str]:
    """What goes into the place of the question mark, and what is taken until then."""
    if field.entry is not None and field.ask is not None:
        if unit := field.entry.KIND.bare_unit:
            yield unit
        if field.ask.guess:
            yield f"until then: {field.ask.guess}"
        return
    if field.holds == "text" and field.note:
        yield "in quotes"
    elif field.holds == "choice":
        yield " or ".join(f'"{choice}"' for choice in field.choices)
    else:
        yield {"text": "text in quotes", "whole": "a whole number", "yes-or-no": "true or false"}[field.holds]
    if field.default not in (None, ""):
        yield f"until then: {str(field.default).lower() if field.holds == 'yes-or-no' else field.default}"
