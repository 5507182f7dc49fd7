"""From a setup to one machine: levels, ticks, tables, outputs."""

from __future__ import annotations

import math
from fractions import Fraction

from coachwork.studies.radio.automata import Machine, tabulated
from coachwork.studies.radio.levels import Positions, levels_of
from coachwork.studies.radio.outputs import output_of
from coachwork.studies.radio.product import Product
from coachwork.studies.radio.setup import Setup

MOST_TICKS = 24  # of the longest time; each running timer multiplies the states by its ticks


def compiled(
    setup: Setup, marks: Positions | None = None, stops: Positions | None = None, *, finest_s: float | None = None
) -> Product:
    """A setup as one machine; marks and stops as in `levels`.

    finest_s : count time at least as finely; for one way through the states, too fine for all of them
    """
    levels = levels_of(setup, marks or {}, stops or {})
    times = [time for one in setup.devices for time in (one.hold_s, one.time_out_s) if time is not None]
    tick_s, coarse = _tick(times)
    if tick_s is not None and finest_s is not None:
        tick_s, coarse = tick_s / math.ceil(tick_s / finest_s), False

    def ticks(time_s: float | None) -> int:
        return 0 if time_s is None or tick_s is None else max(1, math.ceil(round(time_s / tick_s, 9)))

    machines = {
        one.name: Machine(one, hold_ticks=ticks(one.hold_s), time_out_ticks=ticks(one.time_out_s))
        for one in setup.devices
    }
    return Product(
        setup=setup,
        levels=levels,
        tables={name: tabulated(machine) for name, machine in machines.items()},
        outputs={
            channel.name: output_of(channel, setup, levels)
            for channel in setup.channels
            if any(one.channel == channel.name for one in setup.devices)
        },
        tick_s=tick_s,
        ticks=max((ticks(time) for time in times), default=0),
        coarse=coarse,
    )


def _tick(times_s: list[float]) -> tuple[float | None, bool]:
    """Half of the largest time that divides all of them, in seconds; longer, and coarse, where that is too fine.

    Half, so that two timers that run for the same time can be started at two different moments and end in that order.
    """
    if not times_s:
        return None, False
    exact = [Fraction(round(1000 * time), 1000) for time in times_s]
    step = Fraction(math.gcd(*(int(time * 1000) for time in exact)), 2000)
    most = max(exact) / step if step else MOST_TICKS + 1
    if most > MOST_TICKS:
        return float(max(exact) / MOST_TICKS), True
    return float(step), False
