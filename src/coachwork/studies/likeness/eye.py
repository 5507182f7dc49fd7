"""What the eye sees: how far a dimension may be off before somebody notices."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers

# Weber fraction of a length judged by eye: 2 to 3 % (Teghtsoonian, Psychological Review 78 (1971) 71-80, gives 2.9 %;
# from memory). The middle is taken, since a builder holds a photograph beside the model.
WEBER = 0.025
FLOOR_MM = 0.5  # common practice, no source: half a millimetre is lost in paint, filler and panel gaps
LENGTH_SOURCE = (
    "Weber fraction of a length, 2 to 3 % (Teghtsoonian 1971, from memory); 0.5 mm at least, common practice"
)

# The proportions of a rectangle: a change of 1.6 % can just be told near the square, more for longer shapes
# (Regan and Hamstra, Vision Research 32 (1992) 1845-1864, abstract).
PROPORTION_PERCENT = 2.0
PROPORTION_SOURCE = "just visible change of proportions, 1.6 % at best (Regan and Hamstra 1992); rounded up"


def visible_mm(size_mm: Numbers) -> Numbers:
    """Error of a dimension that the eye can just see.

    size_mm : (...,), mm        Returns : (...,), mm

    >>> visible_mm(np.array([10.0, 200.0])).tolist()
    [0.5, 5.0]
    """
    return np.maximum(FLOOR_MM, WEBER * size_mm)
