"""Which end is the nose: told, seen from the overhangs, or guessed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.scans.hints import Hints
from coachwork.scans.mesh import Numbers

CLEAR = 3.0  # how many times better one way round has to match the overhangs than the other; our choice


@dataclass(frozen=True, kw_only=True)
class Nose:
    """The end that is the nose: +1 or -1 along x. `by` says how we know; a guess is no knowledge."""

    end: int
    by: Literal["landmark", "overhangs", "guess"]
    why: str

    @property
    def sure(self) -> bool:
        """Whether it is more than a guess."""
        return self.by != "guess"


def nose_end(points: Numbers, marks: Mapping[str, Numbers], hints: Hints, *, overhangs: tuple[float, float] | None
             ) -> Nose:  # fmt: skip
    """From points on the body (n, 3), in the body frame with the marks.

    overhangs : arch centre to the end at +x, and at -x; None where the arches are not known
    """
    low, high = float(points[:, 0].min()), float(points[:, 0].max())
    for name, sign in (("nose", 1), ("tail", -1)):
        if name in marks:
            end = sign if marks[name][0] > (low + high) / 2 else -sign
            return Nose(end=end, by="landmark", why=f"the landmark at the {name} says so")
    if overhangs is not None and hints.front_overhang_mm is not None and hints.rear_overhang_mm is not None:
        front, rear = hints.front_overhang_mm, hints.rear_overhang_mm
        plus, minus = overhangs
        this_way, other_way = abs(plus - front) + abs(minus - rear), abs(minus - front) + abs(plus - rear)
        better, worse = sorted((this_way, other_way))
        if worse > CLEAR * better and better < 0.3 * (front + rear):
            end = 1 if this_way < other_way else -1
            seen = (plus, minus) if end == 1 else (minus, plus)
            why = (f"overhangs of {seen[0]:.0f} and {seen[1]:.0f} mm match the {front:.0f} (front) and {rear:.0f} mm "
                   f"(rear) of {hints.told}")  # fmt: skip
            return Nose(end=end, by="overhangs", why=why)
    return Nose(end=_leans_back(points), by="guess", why="a guess: this end leans back more; name it with a landmark")


def _leans_back(points: Numbers) -> int:
    """The end whose upper half stands back further: a windscreen slopes, a tail is upright more often than not."""
    low, high = points.min(axis=0), points.max(axis=0)
    height = (points[:, 2] - low[2]) / (high[2] - low[2])
    upper, lower = points[(height > 0.7) & (height < 0.95), 0], points[(height > 0.1) & (height < 0.5), 0]
    if min(len(upper), len(lower)) < 10:
        return 1
    at_plus = np.quantile(lower, 0.99) - np.quantile(upper, 0.99)
    at_minus = np.quantile(upper, 0.01) - np.quantile(lower, 0.01)
    return 1 if at_plus >= at_minus else -1
