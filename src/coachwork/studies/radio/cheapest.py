"""One of each of some lists, the cheapest combinations first; none is made before it is wanted.

Ten lists of four have a million combinations, of which the search for a joint cure wants a few dozen.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

T = TypeVar("T")


def cheapest_first(choices: Sequence[Sequence[T]], cost: Callable[[T], int]) -> Iterator[tuple[T, ...]]:
    """Combinations in the order of the sum of their costs; each list is to be sorted by cost.

    >>> list(cheapest_first([[1, 5], [2, 3]], lambda one: one))
    [(1, 2), (1, 3), (5, 2), (5, 3)]
    """
    start = (0,) * len(choices)
    waiting = [(sum(cost(each[0]) for each in choices), start)]
    seen = {start}
    while waiting:
        total, at = heapq.heappop(waiting)
        yield tuple(each[i] for each, i in zip(choices, at, strict=True))
        for which, each in enumerate(choices):
            here = at[which]
            further = (*at[:which], here + 1, *at[which + 1 :])
            if here + 1 < len(each) and further not in seen:
                seen.add(further)
                heapq.heappush(waiting, (total + cost(each[here + 1]) - cost(each[here]), further))
