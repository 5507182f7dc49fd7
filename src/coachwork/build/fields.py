"""Every key the build file can have and what it asks for: for the reference, the blank file, the editor, `enter`.

All of it is read off the section models, so a new section shows up everywhere by itself.
"""

from __future__ import annotations

import inspect
import re
import types
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from coachwork.build.entries import Ask, Entry, Note, Point
from coachwork.build.section import Section, kebab
from coachwork.build.tables import tables

NAME = "NAME"  # stands for a name of the builder's own
Holds = Literal["number", "point", "choice", "text", "whole", "yes-or-no"]


@dataclass(frozen=True, kw_only=True)
class Field:
    """One key.

    key     : in full, such as "shell.wheelbase" or "details.NAME.along"
    holds   : what stands behind it
    entry   : which kind of number, for "number" and "point"
    ask     : how to take it, for the same
    note    : what a setting means, for the others, where the model says it
    choices : for "choice"
    default : what is taken where the key is left out, for the others; None where there is nothing to take
    """

    key: str
    holds: Holds
    entry: type[Entry] | None = None
    ask: Ask | None = None
    note: str = ""
    choices: tuple[str, ...] = ()
    default: Any = None
    required: bool = False  # within its table, where that is there

    @property
    def name(self) -> str:
        """The last part of the key."""
        return self.key.rpartition(".")[2]

    @property
    def how(self) -> str:
        """What to put the callipers on, or what to choose from."""
        if self.ask is not None:
            return self.ask.how
        if self.note:
            return self.note
        choices = ", ".join(f'"{choice}"' for choice in self.choices)
        told = {"choice": f"choose from {choices}", "text": "a text in quotes", "whole": "a whole number"}
        return told.get(self.holds, "true or false")


@dataclass(frozen=True, kw_only=True)
class Table:
    """One header of the file with its keys, and the tables inside it.

    header : "running-gear.front"; with NAME where the builder names it
    about  : what it is for, the model's own words
    many   : written as [[header]], once for each item
    """

    header: str
    about: str
    fields: tuple[Field, ...]
    inner: tuple[Table, ...]
    many: bool = False

    def walk(self) -> Iterator[Table]:
        """The table and all inside it, outermost first."""
        yield self
        for table in self.inner:
            yield from table.walk()


@cache
def file_tables() -> tuple[Table, ...]:
    """The tables of the file, in the order in which a new file lists them."""
    return tuple(_named(kind, header) if kind.NAMES else _table(kind, header) for header, kind in tables().items())


def field_of(key: str) -> Field | None:
    """The field a key belongs to; one coordinate of a point counts as the point. None for a key that is none."""
    for pattern, field in _patterns():
        if pattern.fullmatch(key):
            return field
    return None


def steps_of(key: str) -> tuple[str, ...]:
    """The names a key is made of; a name of the builder's own may hold dots. Raises KeyError for a key that is none.

    >>> steps_of("details.mirror v1.2.shell")
    ('details', 'mirror v1.2', 'shell')
    >>> steps_of("envelopes.hub.steps.boss.diameter")
    ('envelopes', 'hub', 'steps', 'boss', 'diameter')
    """
    for pattern, field in _patterns():
        if match := pattern.fullmatch(key):
            groups = iter(match.groups())
            steps = [str(next(groups)) if step == NAME else step for step in field.key.split(".")]
            axis = next(groups, None)
            return (*steps, axis[1:]) if axis else tuple(steps)
    raise KeyError(key)


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], Field], ...]:
    fields = [field for outer in file_tables() for table in outer.walk() for field in table.fields]
    # The deepest first: a name may hold dots, and boxes.radio.leads.aerial.length is a lead's length, not the length of
    # a box called "radio.leads.aerial".
    fields.sort(key=lambda field: -field.key.count("."))
    return tuple((_pattern(field), field) for field in fields)


def _pattern(field: Field) -> re.Pattern[str]:
    steps = ["(.+)" if step == NAME else re.escape(step) for step in field.key.split(".")]
    return re.compile(r"\.".join(steps) + (r"(\.[xyz])?" if field.holds == "point" else ""))


def _table(kind: type[Section], header: str, *, many: bool = False) -> Table:
    fields: list[Field] = []
    inner: list[Table] = []
    for name, info in kind.model_fields.items():
        key = f"{header}.{kebab(name)}"
        annotation = info.annotation
        section = next((a for a in (annotation, *get_args(annotation)) if _is_section(a)), None)
        if section is None and get_origin(annotation) is dict:
            inner.append(_texts(key, info))
        elif section is None:
            ask = kind.ask_of(name)
            default = None if ask is not None or info.is_required() else info.default
            field = _field(key, annotation, ask, default)
            fields.append(replace(field, required=info.is_required(), note=_note(info)))
        elif get_origin(annotation) is dict:
            inner.append(_table(section, f"{key}.{NAME}"))
        else:
            inner.append(_table(section, key, many=get_origin(annotation) is list))
    about = (inspect.getdoc(kind) or "").strip()
    return Table(header=header, about=about, fields=tuple(fields), inner=tuple(inner), many=many)


def _texts(key: str, info: FieldInfo) -> Table:
    """A table of texts under names of the builder's own."""
    field = Field(key=f"{key}.{NAME}", holds="text", note=_note(info))
    return Table(header=key, about=info.description or "", fields=(field,), inner=())


def _note(info: FieldInfo) -> str:
    return next((m.how for m in info.metadata if isinstance(m, Note)), "")


def _named(kind: type[Section], header: str) -> Table:
    """A table that holds nothing but tables under names of the builder's own."""
    (section,) = (a for a in get_args(kind.model_fields[str(kind.NAMES)].annotation) if _is_section(a))
    about = (inspect.getdoc(kind) or "").strip()
    return Table(header=header, about=about, fields=(), inner=(_table(section, f"{header}.{NAME}"),))


def _is_section(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, Section)


def _field(key: str, annotation: Any, ask: Ask | None, default: Any) -> Field:
    if ask is not None and annotation is Point:
        return Field(key=key, holds="point", entry=type(Point().x), ask=ask)
    if ask is not None:
        return Field(key=key, holds="number", entry=annotation, ask=ask)
    if get_origin(annotation) in (Union, types.UnionType):
        annotation = next(a for a in get_args(annotation) if a is not type(None))
    if get_origin(annotation) is Literal:
        return Field(key=key, holds="choice", choices=get_args(annotation), default=default)
    plain: dict[Any, Holds] = {str: "text", int: "whole", bool: "yes-or-no"}
    if annotation not in plain:
        raise TypeError(f"{key}: {annotation} is nothing a build file can hold")
    return Field(key=key, holds=plain[annotation], default=default)
