"""A corner's bodies in poses that were asked for before: many things ask for the same poses, or for some of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.shapes import Bodies

MOST_KEPT = 64  # sets of poses


@dataclass(eq=False)
class KeptPoses:
    """Bodies by the shares (poses, 3) that they were asked for at."""

    _sets: dict[bytes, Bodies] = field(default_factory=dict)
    _places: dict[bytes, tuple[bytes, int]] = field(default_factory=dict)  # of a pose: in which set, and where in it

    def at(self, shares: Array, make: Callable[[Array], Bodies], *, samples: int) -> Bodies:
        """Those made for these shares, or taken from a larger set that was made before."""
        key = shares.tobytes()
        if key not in self._sets:
            if len(self._sets) >= MOST_KEPT:
                self._sets.clear()
                self._places.clear()
            self._sets[key] = make(shares) if samples > 1 else self._of_one(key, shares, make)
        return self._sets[key]

    def _of_one(self, key: bytes, shares: Array, make: Callable[[Array], Bodies]) -> Bodies:
        poses = [share.tobytes() for share in shares]
        there = [self._places[pose] for pose in poses if pose in self._places]
        if len(there) == len(poses) > 0 and all(home == there[0][0] for home, _ in there):
            return self._sets[there[0][0]].take(np.array([place for _, place in there]))
        for place, pose in enumerate(poses):  # in the larger set, which is likelier to hold its neighbours, too
            if pose not in self._places or len(self._places[pose][0]) < len(key):
                self._places[pose] = key, place
        return make(shares)
