"""Copper wires: cross-section of a gauge, resistance of a length, and what current is usual for it.

Resistance of annealed copper at 20 degC: 1/58 ohm mm2/m (IEC 60028), growing by 0.393 % a kelvin (same). A stranded
wire has a little more, for its strands wind about each other and its section is on the small side: IEC 60228 allows up
to 16 % more for flexible conductors (class 5). We take 6 %: common practice, no source.
"""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers

RESISTIVITY_OHM_MM2_PER_M = 1 / 58
PER_KELVIN = 3.93e-3
STRANDED = 1.06

# "Chassis wiring" of the Handbook of Electronic Tables and Formulas, as widely reprinted: single wires in free air.
# Gauges 10 to 14 and 16 looked up in a reprint, the others from memory.    awg: A
CHASSIS_A = {
    8: 73.0, 10: 55.0, 12: 41.0, 14: 32.0, 16: 22.0, 18: 16.0, 20: 11.0, 22: 7.0, 24: 3.5, 26: 2.2, 28: 1.4, 30: 0.86,
}  # fmt: skip
CHASSIS_SOURCE = "chassis wiring, Handbook of Electronic Tables and Formulas, as reprinted"


def awg_area_mm2(gauge: Numbers | float) -> Numbers:
    """Cross-section of an American wire gauge (ASTM B258): its diameter is 0.127 mm x 92^((36 - gauge) / 39).

    >>> float(awg_area_mm2(14).round(3))
    2.081
    """
    diameter_mm = 0.127 * 92 ** ((36 - np.asarray(gauge, dtype=float)) / 39)
    return np.asarray(np.pi / 4 * diameter_mm**2)


def resistance_ohm(
    *, area_mm2: Numbers | float, length_mm: Numbers | float, temperature_degc: Numbers | float, stranded: bool = True
) -> Numbers:
    """Of one conductor.

    >>> round(float(resistance_ohm(area_mm2=1.5, length_mm=1e6, temperature_degc=20)), 2)  # IEC 60228 allows 13.3
    12.18
    """
    warmer = 1 + PER_KELVIN * (np.asarray(temperature_degc) - 20)
    ohm = RESISTIVITY_OHM_MM2_PER_M * np.asarray(length_mm) / 1000 / np.asarray(area_mm2) * warmer
    return np.asarray(ohm * (STRANDED if stranded else 1.0))


def usual_current_a(area_mm2: Numbers | float) -> Numbers:
    """What a single wire in free air is usually given, straight between the gauges on logarithmic scales.

    Beyond the table's ends in proportion to the cross-section.
    """
    gauges = sorted(CHASSIS_A, reverse=True)
    areas = np.log(awg_area_mm2(np.array(gauges, dtype=float)))
    amperes = np.log([CHASSIS_A[gauge] for gauge in gauges])
    wanted = np.log(np.asarray(area_mm2, dtype=float))
    inside = np.clip(wanted, areas[0], areas[-1])
    return np.asarray(np.exp(np.interp(inside, areas, amperes) + wanted - inside))


def area_for_mm2(current_a: float) -> float:
    """The thinnest usual wire for a current: the smallest metric section that is usually given as much.

    Raises ValueError beyond 35 mm2.
    """
    for area in METRIC_MM2:
        if float(usual_current_a(area)) >= current_a:
            return area
    raise ValueError(f"no usual wire carries {current_a:.0f} A")


# Nominal sections sold as flexible wire: from 0.5 on IEC 60228's, below common practice, no source.
METRIC_MM2 = (0.05, 0.08, 0.14, 0.25, 0.34, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0)
