"""From the tables to the protections that are fitted."""

from __future__ import annotations

import numpy as np

from coachwork.build.sections.regulators import Regulator
from coachwork.studies.power.guards import Guard
from coachwork.studies.power.tables import Tables
from coachwork.studies.power.vehicle import many
from coachwork.studies.supply import cells_in_series

CHIP_BACK_K, CONTROLLER_BACK_K = 20.0, 15.0  # how far it must cool to run again; makers' sheets, from memory
CUT_OFF_HOLD_S, BROWN_OUT_HOLD_S = 1.0, 0.01  # how long a voltage must be low to count; common practice, no source


def guards_from(t: Tables, regulator: Regulator, n: int) -> tuple[Guard, ...]:
    """All of them, over so many samples."""
    cut, cells = t.cut_outs, cells_in_series(t.pack)
    yes, zero = np.ones(n, dtype=bool), np.zeros(n)
    volts = t.controller.cut_off.v if t.controller.cut_off.given else cut.cell.v * cells
    least = t.wiring.loads["receiver"].least_voltage
    chip, case = many(n, regulator.trips_at.degc), many(n, cut.controller.degc)
    latches = regulator.after_trip == "stays off until switched off"
    guards = [
        Guard(
            trip="cell cut-off", watches="bus", limit=many(n, volts), hold_s=many(n, CUT_OFF_HOLD_S),
            fitted=many(n, volts) > 0, acts="motor", resets="off-on", back=zero,
        ),
        Guard(
            trip="controller heat", watches="controller", limit=case, hold_s=zero, fitted=yes, acts="motor",
            resets="off-on" if cut.controller_resets == "off and on" else "cooler", back=case - CONTROLLER_BACK_K,
        ),
        Guard(
            trip="regulator heat", watches="regulator", limit=chip, hold_s=zero, fitted=yes, acts="supply",
            resets="off-on" if latches else "cooler", back=chip - CHIP_BACK_K,
        ),
        Guard(
            trip="brown-out", watches="rail", limit=many(n, least.v), hold_s=many(n, BROWN_OUT_HOLD_S),
            fitted=yes, acts="supply", resets="by itself", back=many(n, np.maximum(cut.receiver_back.s, 0.1)),
        ),
        Guard(
            trip="empty", watches="share", limit=zero, hold_s=zero, fitted=yes, acts="all", resets="never", back=zero
        ),
    ]  # fmt: skip
    if cut.motor.given:
        can = many(n, cut.motor.degc)
        guards.append(
            Guard(
                trip="motor heat", watches="can", limit=can, hold_s=zero, fitted=yes, acts="motor",
                resets="off-on" if cut.motor_resets == "off and on" else "cooler", back=can - CONTROLLER_BACK_K,
            )
        )  # fmt: skip
    if cut.idle.given:
        guards.append(
            Guard(
                trip="idle time-out", watches="still", limit=zero, hold_s=many(n, cut.idle.s), fitted=yes, acts="all",
                resets="off-on", back=zero,
            )
        )  # fmt: skip
    return tuple(guards)
