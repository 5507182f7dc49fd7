"""Exact steps of quantities that each decay by themselves under a drive that changes linearly in time.

For y' = a y + n(t) with n linear from n0 to n1 over h:

    y(h) = e^z y0 + h f1(z) n0 + h f2(z) (n1 - n0),  z = a h,  f1 = (e^z - 1) / z,  f2 = (f1 - 1) / z

With n0 alone it is exact for a constant drive; taking n1 at that first answer makes the second-order step ETD2RK of Cox
and Matthews, J. Comput. Phys. 176 (2002) 430, equation 22. A stiff mode costs nothing: it is not stepped but known.
"""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers

_SMALL = 1e-3  # below, f1 and f2 by their series: the difference quotients lose digits there


Weights = tuple[Numbers, Numbers, Numbers]


def weights(decay_s: Numbers, h_s: Numbers) -> Weights:
    """e^z, h f1(z), h f2(z), of the shape of decay_s; h_s (samples,), broadcast over the last axis."""
    h = h_s[:, None]
    z = decay_s * h
    small = z > -_SMALL
    safe = np.where(small, -1.0, z)
    first = np.where(small, 1 + z / 2 * (1 + z / 3), np.expm1(safe) / safe)
    second = np.where(small, 0.5 + z / 6 * (1 + z / 4), (first - 1) / safe)
    return 1 + z * first, h * first, h * second
