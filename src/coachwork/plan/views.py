"""How a study sees the entries of a build: as they are, or as many samples; both keep a record of what it read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Self

import numpy as np

from coachwork.build import Entry, Numbers
from coachwork.quantity import Measured


@dataclass(frozen=True, kw_only=True)
class Recorder:
    """The entries a study looked at, with what they held: {key: Measured or None}."""

    seen: dict[str, Measured | None] = field(default_factory=dict)

    def note(self, entry: Entry) -> None:
        """Record an entry, blank or not. A stand-in is recorded as what it is."""
        self.seen[entry.key] = entry.best

    def afresh(self) -> Self:
        """The same view with an empty record."""
        return replace(self, seen={})


@dataclass(frozen=True, kw_only=True)
class Plain(Recorder):
    """One sample: every number as measured."""

    def look(self, entry: Entry) -> Numbers:
        """Shape (1,)."""
        assert entry.best is not None
        return np.array([entry.best.value])


@dataclass(frozen=True, kw_only=True)
class Sampled(Recorder):
    """Many samples: each key has its own column of values; others keep their one value, repeated.

    columns : {key: (samples,)}, in internal units
    """

    columns: Mapping[str, Numbers]
    samples: int

    def look(self, entry: Entry) -> Numbers:
        """Shape (samples,)."""
        assert entry.best is not None
        column = self.columns.get(entry.key)
        return column if column is not None else np.full(self.samples, entry.best.value)

    def same_over(self, other: Sampled, keys: Iterable[str]) -> bool:
        """Whether some keys have the same samples in another view; a key without a column has its one value in both."""
        if self.samples != other.samples:
            return False
        pairs = ((self.columns.get(key), other.columns.get(key)) for key in keys)
        return all(one is two or (one is not None and two is not None and np.array_equal(one, two))
                   for one, two in pairs)  # fmt: skip
