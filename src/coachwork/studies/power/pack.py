"""The pack: open-circuit voltage over what is left in it, by chemistry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.result import Result

Chemistry = Literal["lipo", "life", "nimh"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Curve(Result):
    """Volts of one resting cell over the share of its charge that is left, both rising; `source` says whose."""

    share: Numbers
    volts: Numbers
    source: str


_SHARE = np.array([-0.05, 0.0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0])

# The lithium-polymer row is the table printed beside many a charger; the test holds it against the formula that Chen
# and Rincon-Mora (2006) fitted to polymer cells. The other two are from memory of makers' discharge sheets, drawn to
# zero current. Below nothing a curve falls steeply, so that a pack run flat stops by its voltage.
CURVES: Mapping[Chemistry, Curve] = MappingProxyType(
    {
        "lipo": Curve(
            share=_SHARE,
            volts=np.array(
                [2.60, 3.27, 3.61, 3.69, 3.71, 3.73, 3.77, 3.80, 3.84, 3.87, 3.95, 4.02, 4.11, 4.15, 4.20]
            ),
            source="common practice, no source; within 0.1 V of Chen and Rincon-Mora (2006)",
        ),
        "life": Curve(
            share=_SHARE,
            volts=np.array(
                [2.00, 2.60, 3.00, 3.13, 3.18, 3.21, 3.25, 3.27, 3.28, 3.29, 3.30, 3.32, 3.33, 3.34, 3.40]
            ),
            source="from memory of makers' discharge sheets",
        ),
        "nimh": Curve(
            share=_SHARE,
            volts=np.array(
                [0.60, 1.00, 1.12, 1.17, 1.19, 1.21, 1.23, 1.24, 1.25, 1.26, 1.27, 1.29, 1.32, 1.35, 1.42]
            ),
            source="from memory of makers' discharge sheets",
        ),
    }
)  # fmt: skip


def cell_v(chemistry: Chemistry, share: Numbers) -> Numbers:
    """Resting volts of one cell, of the shape of `share`; flat beyond the curve's ends.

    >>> cell_v("lipo", np.array([0.5, 0.95])).tolist()
    [3.84, 4.15]
    """
    curve = CURVES[chemistry]
    return np.interp(share, curve.share, curve.volts)


def share_left(chemistry: Chemistry, volts: Numbers) -> Numbers:
    """The share of its charge that a rested cell of this voltage has left, 0 to 1.

    >>> share_left("lipo", np.array([4.2, 3.84, 3.0])).tolist()
    [1.0, 0.5, 0.0]
    """
    curve = CURVES[chemistry]
    return np.clip(np.interp(volts, curve.volts, curve.share), 0.0, 1.0)


def energy_v(chemistry: Chemistry, share: Numbers) -> Numbers:
    """The integral of `cell_v` over the share, from nothing: times cells and charge, the energy that is left.

    Exact for straight pieces, and below nothing it goes on.

    >>> round(float(energy_v("lipo", np.array([1.0]))[0]), 3)
    3.858
    """
    curve = CURVES[chemistry]
    pieces = np.diff(curve.share) * (curve.volts[1:] + curve.volts[:-1]) / 2
    total = np.concatenate([[0.0], np.cumsum(pieces)])
    share = np.clip(share, curve.share[0], curve.share[-1])
    i = np.clip(np.searchsorted(curve.share, share) - 1, 0, curve.share.size - 2)
    inside = (share - curve.share[i]) * (curve.volts[i] + np.interp(share, curve.share, curve.volts)) / 2
    return np.asarray(total[i] + inside - np.interp(0.0, curve.share, total))
