"""A build as read: its sections by type, and what looked odd on the way in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Self, TypeVar, cast

from coachwork.build.entries import Entry, View
from coachwork.build.section import Section
from coachwork.build.sections.about import About

S = TypeVar("S", bound=Section)


@dataclass(frozen=True, kw_only=True)
class Doubt:
    """A number that can be read but looks wrong; the builder decides.

    fits : what it would read without the slip that explains it, such as "2740 mm"; None where no slip does
    """

    key: str
    line: int | None
    what: str
    suggestion: str
    fits: str | None = None

    def __str__(self) -> str:
        where = f"line {self.line}: " if self.line is not None else ""
        return f"{where}{self.key}: {self.what}; {self.suggestion}"


@dataclass(frozen=True, kw_only=True)
class Build:
    """One vehicle project. `build[Shell]` is its shell, blank where the file says nothing."""

    path: Path
    text: str
    sections: Mapping[type[Section], Section]
    doubts: tuple[Doubt, ...] = field(default=())

    def __getitem__(self, section: type[S]) -> S:
        return cast(S, self.sections[section])

    @property
    def name(self) -> str:
        """What the builder calls it."""
        return self[About].name

    def entries(self) -> Iterator[Entry]:
        """Every entry, measured or blank."""
        for section in self.sections.values():
            yield from section.entries()

    def entry(self, key: str) -> Entry:
        """The entry of a key such as `shell.wheelbase`. Raises KeyError."""
        for entry in self.entries():
            if entry.key == key:
                return entry
        raise KeyError(key)

    def seen_by(self, view: View | None) -> Self:
        """The same build, its entries read through a view."""
        return replace(self, sections={kind: section.seen_by(view) for kind, section in self.sections.items()})
