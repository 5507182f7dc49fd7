"""What of a state of stress a material is said to feel."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers


def von_mises(stress: Numbers) -> Numbers:
    """Of xx yy zz xy yz zx on the last axis.

    >>> float(von_mises(np.array([3.0, 0, 0, 0, 0, 0])))
    3.0
    """
    xx, yy, zz, xy, yz, zx = np.moveaxis(stress, -1, 0)
    squares = (xx - yy) ** 2 + (yy - zz) ** 2 + (zz - xx) ** 2
    return np.asarray(np.sqrt(squares / 2 + 3 * (xy**2 + yz**2 + zx**2)))
