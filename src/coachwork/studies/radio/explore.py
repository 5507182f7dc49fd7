"""Every state that can be reached, breadth first, so that the way to each is one of the shortest.

Knows nothing of radios: a state is a whole number, and a function says where all states of an array go.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwork.studies.watch import UNWATCHED, Watch

Codes = NDArray[np.int64]
Successors = Callable[[Codes], Iterable[tuple[int, Codes]]]
"""From states to (number of the event, where each state goes by it); an event may come more than once."""

MOST_STATES = 1_000_000  # some seconds and 100 MB here; a radio of a dozen devices has a tenth of it
MANY = 10_000  # states from which on it is told how far the exploration is


@dataclass(frozen=True, eq=False)
class Explored:
    """The states found, in the order in which they were.

    codes    : (states,)
    parent   : (states,), place of the state it was first reached from; -1 for a start
    event    : (states,), by which event; -1 for a start
    begins   : (levels + 1,), where the states of each number of actions begin; the last is the number of states
    complete : whether there are no others; if not, all within `depth` actions were found
    """

    codes: Codes
    parent: NDArray[np.int64]
    event: NDArray[np.int16]
    begins: NDArray[np.int64]
    complete: bool

    @property
    def states(self) -> int:
        """How many were found."""
        return self.codes.size

    @property
    def depth(self) -> int:
        """Actions to the farthest state, or, where not complete, up to which nothing was missed."""
        return self.begins.size - 2

    def actions_to(self, place: int) -> int:
        """The fewest actions to a state, by its place."""
        return int(np.searchsorted(self.begins, place, side="right")) - 1

    def way_to(self, place: int) -> Iterator[int]:
        """Places of the states on a shortest way to one, the start first."""
        way = [place]
        while self.parent[way[-1]] >= 0:
            way.append(int(self.parent[way[-1]]))
        return reversed(way)

    def places_of(self, codes: Codes) -> NDArray[np.int64]:
        """Where states stand; -1 for those that were not found."""
        order = np.argsort(self.codes, kind="stable")
        at = np.minimum(np.searchsorted(self.codes, codes, sorter=order), order.size - 1)
        return np.where(self.codes[order[at]] == codes, order[at], -1)


def explore(
    starts: Codes,
    successors: Successors,
    *,
    most_states: int = MOST_STATES,
    watch: Watch = UNWATCHED,
) -> Explored:
    """All states from the starts on; stops after the level of actions that would not fit into `most_states`.

    Raises Unwanted when the watch says so; it is asked at every event of every level.

    >>> double = lambda codes: [(0, np.minimum(codes * 2, 100)), (1, np.minimum(codes + 1, 100))]
    >>> found = explore(np.array([1]), double)
    >>> found.states, found.actions_to(int(found.places_of(np.array([100]))[0]))
    (100, 7)
    """
    first = np.unique(np.asarray(starts, dtype=np.int64))
    levels, parents, events = [first], [np.full(first.size, -1)], [np.full(first.size, -1, dtype=np.int16)]
    seen, count, complete = first, first.size, True
    begins = [0, count]
    while levels[-1].size:
        watch.look(f"{count:,} states, {len(levels) - 1} actions deep" if count > MANY else "")
        fresh = _level(levels[-1], begins[-2], seen, successors, most_states - count, watch)
        if fresh is None:
            complete = False
            break
        codes, parent, event = fresh
        if not codes.size:
            break
        levels.append(codes)
        parents.append(parent)
        events.append(event)
        count += codes.size
        begins.append(count)
        seen = np.concatenate([seen, codes])
        seen.sort(kind="stable")  # two sorted runs: a merge
    return Explored(np.concatenate(levels), np.concatenate(parents), np.concatenate(events), np.array(begins), complete)


def _level(
    codes: Codes, begin: int, seen: Codes, successors: Successors, room: int, watch: Watch
) -> tuple[Codes, NDArray[np.int64], NDArray[np.int16]] | None:
    """States one action further on that are new, sorted, with where they came from; None where there is no room."""
    found: list[Codes] = []
    origins: list[NDArray[np.int64]] = []
    by: list[NDArray[np.int16]] = []
    held = 0
    for event, reached in successors(codes):
        watch.look()
        new = np.flatnonzero(~_among(reached, seen))
        if new.size:
            found.append(reached[new])
            origins.append(new + begin)
            by.append(np.full(new.size, event, dtype=np.int16))
            held += new.size
        if held > 4 * max(room, 1024):  # doubles not yet taken out, so a few times the room
            found, origins, by = _once(found, origins, by)
            held = found[0].size
            if held > room:
                return None
    if not found:
        return np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0, np.int16)
    found, origins, by = _once(found, origins, by)
    return None if found[0].size > room else (found[0], origins[0], by[0])


def _among(codes: Codes, seen: Codes) -> NDArray[np.bool_]:
    at = np.searchsorted(seen, codes)
    at[at == seen.size] = 0
    return np.asarray(seen[at] == codes)


def _once(
    found: list[Codes], origins: list[NDArray[np.int64]], by: list[NDArray[np.int16]]
) -> tuple[list[Codes], list[NDArray[np.int64]], list[NDArray[np.int16]]]:
    """Each state once, by the way found first."""
    codes = np.concatenate(found)
    order = np.argsort(codes, kind="stable")
    ordered = codes[order]
    first = order[np.concatenate([[True], ordered[1:] != ordered[:-1]])]
    return [codes[first]], [np.concatenate(origins)[first]], [np.concatenate(by)[first]]
