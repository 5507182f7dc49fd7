"""What every section of the build file is: frozen, strict about names, and able to be seen through a view."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict

from coachwork.build.entries import Ask, Entry, Point, View
from coachwork.build.places import Steps
from coachwork.quantity import Measured, Source


def kebab(name: str) -> str:
    """`front_overhang` in Python is `front-overhang` in the file."""
    return name.replace("_", "-")


class Section(BaseModel):
    """One table of the build file. Every field may be left out.

    A field is an Entry or Point (annotated with its Ask), a setting (text from a short list; what it means stands in
    a Note), another Section, a list of Sections, or a table from names to Sections or to texts.

    TABLE      : the table's name in the file; only top-level sections have one
    ORDER      : where a new file lists it
    INSTRUMENT : where its numbers come from when a text does not say; None: what it is measured with
    NAMES      : the field that holds the table's own free names, where the whole table is a list of them
    USUAL      : spans of sane values in internal units, of fields whose Ask is shared with another table
    """

    TABLE: ClassVar[str] = ""
    ORDER: ClassVar[int] = 50
    INSTRUMENT: ClassVar[Source | None] = None
    NAMES: ClassVar[str | None] = None
    USUAL: ClassVar[Mapping[str, tuple[float, float]]] = {}

    model_config = ConfigDict(
        alias_generator=kebab,
        validate_by_name=False,
        validate_by_alias=True,
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=True,
    )

    @classmethod
    def ask_of(cls, name: str) -> Ask | None:
        """What a field asks of the builder; None for what is no number."""
        ask = next((m for m in cls.model_fields[name].metadata if isinstance(m, Ask)), None)
        return replace(ask, usual=cls.USUAL[name]) if ask is not None and name in cls.USUAL else ask

    def guess_for(self, name: str, usual: str | None) -> str | None:
        """A field's stand-in, `usual` by its Ask, where it hangs on what else the table says: a servo is no lamp."""
        return usual

    def keyed(self, prefix: str) -> Self:
        """A copy in which every entry knows its key in the file, how to measure it, and its stand-in."""
        update: dict[str, Any] = {}
        for name, info in type(self).model_fields.items():
            key = prefix if name == self.NAMES else f"{prefix}.{kebab(name)}"
            value = getattr(self, name)
            ask = next((m for m in info.metadata if isinstance(m, Ask)), None)
            if ask is not None and (guess := self.guess_for(name, ask.guess)) != ask.guess:
                ask = replace(ask, guess=guess)
            if ask is not None and isinstance(value, Entry):
                update[name] = _named(value, ask, key)
            elif ask is not None and isinstance(value, Point):
                axes = zip("xyz", value.coordinates, strict=True)
                update[name] = Point(**{axis: _named(entry, ask, f"{key}.{axis}") for axis, entry in axes})  # type: ignore[arg-type]
            elif isinstance(value, Section):
                update[name] = value.keyed(key)
            elif isinstance(value, list):
                update[name] = [item.keyed(f"{key}[{i + 1}]") for i, item in enumerate(value)]
            elif isinstance(value, dict):
                update[name] = {
                    item: inner.keyed(f"{key}.{item}") if isinstance(inner, Section) else inner
                    for item, inner in value.items()
                }
        return self.model_copy(update=update)

    def seen_by(self, view: View | None) -> Self:
        """A copy whose entries are read through a view."""
        held = self.__dict__
        return self.model_copy(update={name: _seen(held[name], view) for name in type(self).model_fields})

    def with_values(self, prefix: str, values: Mapping[str, Measured | str]) -> Self:
        """A copy in which the keys named hold these measurements and choices."""

        def put(key: str, value: Any) -> Any:
            if isinstance(value, Entry):
                held = values.get(value.key)
                return replace(value, measured=held) if isinstance(held, Measured) else value
            if isinstance(value, Point):
                return Point(*(put(entry.key, entry) for entry in value.coordinates))
            if isinstance(value, Section):
                return value.with_values(key, values)
            if isinstance(value, list):
                return [put(f"{key}[{i}]", item) for i, item in enumerate(value, start=1)]
            if isinstance(value, dict):
                return {item: put(f"{key}.{item}", inner) for item, inner in value.items()}
            return values.get(key, value)

        fields = type(self).model_fields
        keys = {name: prefix if name == self.NAMES else f"{prefix}.{kebab(name)}" for name in fields}
        return self.model_copy(update={name: put(key, getattr(self, name)) for name, key in keys.items()})

    def own_faults(self) -> Iterator[tuple[Steps, str, str]]:
        """What is wrong between keys that can each be read: (steps inside the section, what was read, wanted)."""
        yield from ()

    def read_files(self, folder: Path) -> Iterator[tuple[Steps, str, str]]:
        """Read the files it names, from the build's folder; yields what is wrong with them, as `own_faults` does.

        Such a file costs what needs it and no more, so the section has to tell whoever asks that it is not there.
        """
        yield from ()

    def entries(self) -> Iterator[Entry]:
        """Every entry of the section, blank or not, in the order of the model."""
        for name in type(self).model_fields:
            yield from _entries(getattr(self, name))

    def settings(self) -> tuple[Any, ...]:
        """All that is not a number: choices, names, how many of a list. Part of what decides a study's answer."""
        return tuple(_settings(getattr(self, name)) for name in type(self).model_fields)


def _named(entry: Entry, ask: Ask, key: str) -> Entry:
    blank = ask.blank(type(entry), key)
    return type(entry)(entry.measured, key=key, how=blank.how, stand_in=blank.stand_in)


def _seen(value: Any, view: View | None) -> Any:
    if isinstance(value, (Entry, Section)):
        return value.seen_by(view)
    if isinstance(value, Point):
        return Point(*[entry.seen_by(view) for entry in value.coordinates])
    if isinstance(value, dict):
        return {key: _seen(item, view) for key, item in value.items()}
    if isinstance(value, list):
        return [_seen(item, view) for item in value]
    return value


def _entries(value: Any) -> Iterator[Entry]:
    if isinstance(value, Entry):
        yield value
    elif isinstance(value, Point):
        yield from value.coordinates
    elif isinstance(value, Section):
        yield from value.entries()
    elif isinstance(value, (list, dict)):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _entries(item)


def _settings(value: Any) -> Any:
    if isinstance(value, (Entry, Point)):
        return None
    if isinstance(value, Section):
        return value.settings()
    if isinstance(value, list):
        return tuple(_settings(item) for item in value)
    if isinstance(value, dict):
        return tuple((key, _settings(item)) for key, item in value.items())
    return value
