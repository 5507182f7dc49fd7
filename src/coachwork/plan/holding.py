"""What the tables of a build hold, worked out once for each as it stands: every study asks whether it is still so."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from coachwork.build import Section
from coachwork.quantity import Measured


@dataclass(frozen=True, eq=False)
class Held:
    """One table: its numbers by key, and what is no number."""

    section: Section
    numbers: Mapping[str, Measured | None]
    settings: tuple[Any, ...]


@dataclass(eq=False)
class Holding:
    """Of each kind of table the one that was asked for last; a table that nobody changed is the same object."""

    _last: dict[type[Section], Held] = field(default_factory=dict)

    def of(self, section: Section) -> Held:
        """What one holds."""
        held = self._last.get(type(section))
        if held is None or held.section is not section:
            numbers = {entry.key: entry.best for entry in section.entries()}
            held = self._last[type(section)] = Held(section, numbers, section.settings())
        return held

    def still(self, read: Mapping[str, Measured | None], sections: Iterable[Section]) -> bool:
        """Whether all that was read is in these tables, and holds the same."""
        now: dict[str, Measured | None] = {}
        for section in sections:
            now |= self.of(section).numbers
        return all((found := now.get(key)) is held or found == held for key, held in read.items())
