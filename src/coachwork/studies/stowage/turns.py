"""The ways a box may stand: tipped onto one of its faces, then turned by quarters. Ports and faces turn with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from coachwork.build.sections.boxes import FACES, Face
from coachwork.build.sections.stowed import Turned

Sides = dict[Face, tuple[int, int]]
# Axis and sense of each face: x forward, y left, z up.
AXIS: Sides = {"front": (0, 1), "rear": (0, -1), "left": (1, 1), "right": (1, -1), "top": (2, 1), "bottom": (2, -1)}


def _about(axis: int, quarters: int) -> NDArray[np.int64]:
    one, two = (axis + 1) % 3, (axis + 2) % 3
    turn = np.zeros((3, 3), dtype=np.int64)
    turn[axis, axis] = turn[two, one] = 1
    turn[one, two] = -1
    return np.linalg.matrix_power(turn, quarters % 4)


# Right-handed quarter turns that bring a face down: over the nearest edge, so that "top" is half a turn about x.
_TIP: dict[Face, tuple[int, int]] = {
    "bottom": (0, 0), "top": (0, 2), "left": (0, -1), "right": (0, 1), "front": (1, 1), "rear": (1, -1),
}  # fmt: skip
_QUARTERS: dict[Turned | None, int] = {None: 0, "left": 1, "about": 2, "right": 3}


@dataclass(frozen=True)
class Turn:
    """One way to stand.

    >>> Turn("bottom", "left").side_of("front")
    'left'
    >>> Turn("left", None).side_of("top")
    'left'
    """

    down: Face
    turned: Turned | None

    @property
    def matrix(self) -> NDArray[np.int64]:
        """Carries the box's own directions to the vehicle's, (3, 3)."""
        return _matrix(self.down, self.turned)

    def side_of(self, face: Face) -> Face:
        """Which way a face of the box looks on the vehicle."""
        axis, sense = AXIS[face]
        looks = sense * self.matrix[:, axis]
        return next(side for side, (a, s) in AXIS.items() if looks[a] == s)

    def sizes(self, own: NDArray[np.float64]) -> NDArray[np.float64]:
        """Sizes along the vehicle's axes, from length, width, height; (..., 3)."""
        return np.asarray(own @ np.abs(self.matrix).T.astype(float))

    def offset(self, own: NDArray[np.float64]) -> NDArray[np.float64]:
        """A point of the box, from its middle, in the vehicle's directions; (..., 3)."""
        return np.asarray(own @ self.matrix.T.astype(float))

    @property
    def words(self) -> str:
        """As a builder says it."""
        lies = "" if self.down == "bottom" else f"on its {self.down}" if self.down != "top" else "upside down"
        turned = {None: "", "left": "turned a quarter left", "right": "turned a quarter right", "about": "turned about"}
        return ", ".join(word for word in (lies, turned[self.turned]) if word) or "as it is"


@lru_cache
def _matrix(down: Face, turned: Turned | None) -> NDArray[np.int64]:
    matrix = _about(2, _QUARTERS[turned]) @ _about(*_TIP[down])
    matrix.flags.writeable = False
    return matrix


def turns_on(faces: Iterable[Face]) -> list[Turn]:
    """All ways to stand on these faces, plain ones first."""
    wanted = set(faces)
    order: tuple[Face, ...] = ("bottom", "top", "left", "right", "front", "rear")
    return [Turn(down, turned) for down in order if down in wanted for turned in _QUARTERS]


def middle_of(face: Face, own: NDArray[np.float64]) -> NDArray[np.float64]:
    """The middle of a face, from the box's middle; (..., 3)."""
    axis, sense = AXIS[face]
    point = np.zeros_like(own)
    point[..., axis] = sense * own[..., axis] / 2
    return point


def exit_point(
    face: Face, own: NDArray[np.float64], *, across_mm: NDArray[np.float64], up_mm: NDArray[np.float64]
) -> NDArray[np.float64]:
    """A point of a face: `across` to the box's left (on its left and right faces to its front), `up` to its top (on
    top and bottom to its front); (..., 3).
    """
    point = middle_of(face, own)
    axis = AXIS[face][0]
    across_axis, up_axis = {0: (1, 2), 1: (0, 2), 2: (1, 0)}[axis]
    point[..., across_axis] += across_mm
    point[..., up_axis] += up_mm
    return point


__all__ = ["AXIS", "FACES", "Turn", "exit_point", "middle_of", "turns_on"]
