"""Off a kerb: how hard the axle lands, from the energy that is left when springs and tyres have had their part."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class Landing(Result):
    """One axle's, (samples,). `factor`: peak load by standing load; `left`: share of the energy the springs leave."""

    peak_n: Numbers
    factor: Numbers
    left: Numbers


def gives_mm(*, x_mm: Numbers, z_mm: Numbers, centre_mm: float, lifted_mm: float, leverage: float) -> float:
    """What an end gives under a lift that the mass alone holds against, for the work it does: mm.

    x_mm, z_mm : (slices,), where slices across the length are, and how far they rise
    centre_mm  : x of the mass's centre; it is taken to lie along the slices, denser towards one end in a straight line
    lifted_mm  : how far the lifted end rises
    leverage   : the mass's weight for each newton of lift

    Lift and weight are in balance, so pitching as a whole, which nothing determines, does no work and is not in it.
    """
    off = x_mm - x_mm.mean()
    share = (1 + (centre_mm - x_mm.mean()) * off / np.mean(off**2)) / x_mm.size
    return abs(float(lifted_mm - leverage * np.sum(share * z_mm)))


def landing(
    *, load_n: Numbers, height_mm: Numbers, wheel_rate_n_per_mm: Numbers, bump_mm: Numbers, tyre_rate_n_per_mm: Numbers,
    end_rate_n_per_mm: Numbers, factor: Numbers | None = None,
) -> Landing:  # fmt: skip
    """An axle that carries `load_n` falls by `height_mm`; two wheels.

    end_rate_n_per_mm : of what gives behind the springs' stops, beside the tyres
    factor            : peak by standing load where it is known, instead

    Springs take F0 s + k s^2 up to the bump stops; what is left loads tyres and chassis end in a row, which by then
    carry the load at the stops already: (F^2 - F_stop^2) / (2 k) = energy left. Work of the weight over the give itself
    counts, too; dampers do not, which is on the safe side. Energy method of suddenly applied loads: Roark's Formulas
    for Stress and Strain, chapter on dynamic stresses; from memory.
    """
    if factor is not None:
        return Landing(peak_n=factor * load_n, factor=factor, left=np.ones(1))
    both = 2 * wheel_rate_n_per_mm
    fallen = load_n * (height_mm + bump_mm)
    springs = load_n * bump_mm + both * bump_mm**2 / 2
    at_stops = load_n + both * bump_mm
    left = np.maximum(fallen - springs, 0.0)
    rate = 1 / (1 / (2 * tyre_rate_n_per_mm) + 1 / end_rate_n_per_mm)
    # past the stops: at_stops x + rate x^2 / 2 = left + load_n x, with x the further give
    spare = at_stops - load_n
    give = (-spare + np.sqrt(spare**2 + 2 * rate * left)) / rate
    peak = np.where(left > 0, at_stops + rate * give, at_stops)
    # what the springs take whole: load_n s + both s^2 / 2 = load_n (h + s)
    soft = load_n + both * np.sqrt(2 * load_n * height_mm / both)
    peak = np.where(left > 0, peak, np.minimum(soft, peak))
    return Landing(peak_n=peak, factor=peak / load_n, left=left / fallen)
