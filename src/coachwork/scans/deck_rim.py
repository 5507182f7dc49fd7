"""A deck's outline as a chassis file shows it: the plain type that studies ask for. No file is read here."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class DeckRim:
    """The flat of a deck, seen from above in the chassis frame.

    corners      : (n, 2), mm, counter-clockwise
    holes        : (m, 2) each, mm, clockwise: openings, and what stands on the deck
    level_mm     : the height at which the file has the flat
    left_out_mm2 : how much flat there is at that height apart from it
    """

    corners: Numbers
    holes: tuple[Numbers, ...] = ()
    level_mm: float
    left_out_mm2: float = 0.0
