"""The plain numbers of a table: a part is made once, not over samples; what is read is still put on record."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any, Protocol, TypeVar

import numpy as np

from coachwork.build import Entry, Numbers, Section, View

S = TypeVar("S", bound=Section)


@dataclass(frozen=True, kw_only=True)
class ByPlainNumbers:
    """A view in which every number is one sample, as measured; looks are noted in the view behind it."""

    behind: View | None

    def look(self, entry: Entry) -> Numbers:
        """Shape (1,)."""
        assert entry.best is not None
        return np.array([entry.best.value])

    def note(self, entry: Entry) -> None:
        """Pass it on."""
        if self.behind is not None:
            self.behind.note(entry)


def by_plain_numbers(section: S) -> S:
    """The same table, read by its plain numbers."""
    behind = next((entry.view for entry in section.entries()), None)
    return section.seen_by(ByPlainNumbers(behind=behind))


def number(entry: Entry) -> float:
    """The plain number in its internal unit. Raises NotMeasured."""
    return float(entry.samples()[0])


def fingerprint(*things: Any) -> str:
    """SHA-256 over specs, hex: the same measures, the same text."""
    form = json.dumps([asdict(each) if hasattr(each, "__dataclass_fields__") else each for each in things],
                      sort_keys=True)  # fmt: skip
    return hashlib.sha256(form.encode()).hexdigest()


class Spec(Protocol):
    """What every spec has."""

    @property
    def name(self) -> str:
        """The part's, unique in the build."""


def round_all(points: Iterable[Iterable[float]]) -> tuple[tuple[float, ...], ...]:
    """Points as plain tuples, to a ten-thousandth, so that a fingerprint does not hang on the last bit."""
    return tuple(tuple(round(float(value), 4) for value in point) for point in points)
