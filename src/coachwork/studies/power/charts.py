"""Temperatures, currents and voltages over the drive."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.chart import Chart, Line
from coachwork.studies.parts import is_missing
from coachwork.studies.power.driven import Trace
from coachwork.studies.power.heat import AIR, CAN, CONTROLLER, PACK, REGULATOR
from coachwork.studies.power.result import PowerResult
from coachwork.studies.power.words import MEANS, minutes
from coachwork.studies.wording import first

MINUTES = "minutes into the drive"
SHOWN = (("regulator", REGULATOR), ("controller", CONTROLLER), ("motor's can", CAN), ("air under the shell", AIR),
         ("pack", PACK))  # fmt: skip


def charts(result: PowerResult) -> Iterator[Chart]:
    """None where a number lacks."""
    if is_missing(result.answer) or result.answer.watched.trace is None:
        return
    answer, trace = result.answer, result.answer.watched.trace
    x = trace.seconds / 60
    ends = (x[0], x[-1])
    limits = [("regulator shuts off", answer.setup.guard("regulator heat")),
              ("controller stops", answer.setup.guard("controller heat"))]  # fmt: skip
    trips = [(first(when), trip) for trip, when in answer.watched.first_s.items() if np.isfinite(first(when))]
    note = f"After {minutes(min(trips)[0])} {MEANS[min(trips)[1]]}; beyond, as if nothing had." if trips else ""
    yield Chart(
        id="power.temperatures",
        title="How warm it becomes, if nothing stopped it",
        x_label=MINUTES,
        y_label="temperature (degC)",
        lines=(
            *(Line(name=name, variant="as changed", x=x, y=trace.degc[:, 0, lump]) for name, lump in SHOWN),
            *(
                Line(name=name, variant="reference", x=np.array(ends), y=np.full(2, guard.limit[0]))
                for name, guard in limits
            ),
        ),
        note=note,
    )
    pack = answer.setup.vehicle.pack
    taken = first(pack.charge_as) * (first(pack.share) - first(answer.watched.share)) / 3.6
    yield Chart(
        id="power.currents",
        title="What the pack gives on the way",
        x_label=MINUTES,
        y_label="current (A)",
        lines=(Line(name="out of the pack", variant="as changed", x=x, y=trace.current_a[:, 0]),),
        note=f"{taken:.0f} mAh in all.",
    )
    yield Chart(
        id="power.voltages",
        title="Voltages on the way",
        x_label=MINUTES,
        y_label="voltage (V)",
        lines=(*_volts(trace, x), Line(name="receiver starts anew", variant="reference", x=np.array(ends),
                                       y=np.full(2, answer.setup.guard("brown-out").limit[0]))),
    )  # fmt: skip


def _volts(trace: Trace, x: Numbers) -> Iterator[Line]:
    for name, values in (("at the controller", trace.bus_v), ("at the receiver", trace.rail_v)):
        yield Line(name=name, variant="as changed", x=x, y=values[:, 0])
