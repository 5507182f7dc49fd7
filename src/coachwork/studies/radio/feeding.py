"""Who is fed through whom, and in which states power comes through."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coachwork.build.sections.radio.devices import OWN_PACK
from coachwork.studies.radio.automata import Table, Whole
from coachwork.studies.radio.fields import Columns, hand
from coachwork.studies.radio.setup import Setup


@dataclass(frozen=True, eq=False)
class Feeding:
    """The power of a setup's devices."""

    setup: Setup
    levels: Mapping[str, tuple[float, ...]]
    tables: Mapping[str, Table]

    def power_of(self, name: str, columns: Columns, main: int = 1) -> Whole | int:
        """1 where a device has power, else 0; `main`: whether the receiver's supply is on."""
        field, through = self._sources[name]
        if through is None:
            return 1 if field == OWN_PACK else main
        return through[columns[field]] * (1 if field in self.tables else main)

    @cached_property
    def _sources(self) -> dict[str, tuple[str, Whole | None]]:
        """For each device the field that decides on its power, and 1 for each value with which it comes through."""
        sources: dict[str, tuple[str, Whole | None]] = {}
        for device in self.setup.devices:
            source = device.powered_by
            sources[device.name] = (source, None)
            if source in self.tables:
                table = self.tables[source]
                through = np.isin(table.mode, device.powered_when) & table.lit
                sources[device.name] = (source, through.astype(np.intp))
            elif source in self.levels:
                control = self.setup.control(source)
                which = [control.fixed.index(level) for level in self.levels[source]]
                sources[device.name] = (hand(source), np.isin(which, device.powered_when).astype(np.intp))
        return sources

    @property
    def form(self) -> list[object]:
        """All that decides on power."""
        return [
            (name, field, None if through is None else through.tobytes())
            for name, (field, through) in self._sources.items()
        ]

    def fed_through(self, name: str) -> list[str]:
        """A device and all that are powered through it, in the order of power."""
        found = [name]
        for device in self.setup.devices:
            if device.powered_by in found and device.name not in found:
                found.append(device.name)
        return found
