"""Samples that are alike in all that one end hangs on are worked out once: of the numbers a build is weighed by, most
are none of that end's.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, TypeVar

import numpy as np

from coachwork.build import Entry, Numbers, Section, View
from coachwork.studies.alike import Places, kinds_of

T = TypeVar("T")

FEWEST = 32  # samples to work out: more than any other axis of a result has, so that theirs is told by its length


@dataclass(frozen=True, kw_only=True)
class Some:
    """A view of some of the samples behind it."""

    behind: View
    places: Places

    def look(self, entry: Entry) -> Numbers:
        """Shape (places,)."""
        return self.behind.look(entry)[self.places]

    def note(self, entry: Entry) -> None:
        """Pass it on."""
        self.behind.note(entry)


def once_each(work: Callable[..., T], *parts: Section | Entry) -> T:
    """What is worked out of tables and entries, for all samples, of which only those are worked out that differ."""
    seen = [(view, entry) for part in parts for view, entry in _seen(part) if entry.best is not None]
    samples = len(seen[0][0].look(seen[0][1])) if seen else 1
    if samples < 2 * FEWEST:
        return work(*parts)
    columns = [view.look(entry) for view, entry in seen]
    firsts, whose = kinds_of(samples, *(column for column in columns if (column != column[0]).any()))
    places = np.append(firsts, np.zeros(max(0, FEWEST - len(firsts)), dtype=np.intp))
    if 2 * len(places) > samples:
        return work(*parts)
    behind = seen[0][0]
    some = Some(behind=behind, places=places)
    # A table that is none of the build's has no view, and nothing that is read of it goes on record.
    made: T = work(*(part.seen_by(some) if any(True for _ in _seen(part)) else part for part in parts))
    for_all: T = _for_all(made, whose, len(places), behind, {})
    return for_all


def _seen(part: Section | Entry) -> Iterator[tuple[View, Entry]]:
    for entry in part.entries() if isinstance(part, Section) else (part,):
        if entry.view is not None:
            yield entry.view, entry


def _for_all(whole: Any, whose: Places, some: int, view: View, done: dict[int, Any]) -> Any:
    """A result for all samples from that for some: arrays by their first axis, entries by their view."""
    if id(whole) in done:  # what is one object stays one
        return done[id(whole)]
    made = whole
    if isinstance(whole, np.ndarray):
        if whole.ndim and len(whole) == some:
            made = whole.take(whose, axis=0)
            made.flags.writeable = False
    elif isinstance(whole, (Entry, Section)):
        made = whole.seen_by(view)
    elif isinstance(whole, dict):
        made = {name: _for_all(item, whose, some, view, done) for name, item in whole.items()}
    elif is_dataclass(whole) and not isinstance(whole, type):
        # Not by its constructor, which would copy every array once more.
        made = object.__new__(type(whole))
        for field in fields(whole):
            object.__setattr__(made, field.name, _for_all(getattr(whole, field.name), whose, some, view, done))
    done[id(whole)] = made
    return made
