"""A drive: circuit, heat and guards over a duty, all samples at once, every event at its own moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.demand import demand
from coachwork.studies.power.driven import Drive
from coachwork.studies.power.duty import Stretch
from coachwork.studies.power.guards import Guard
from coachwork.studies.power.heat import Network
from coachwork.studies.power.running import Run
from coachwork.studies.power.vehicle import Vehicle

LONGEST_STEP_S = 30.0  # docs/theory/power.md: within 0.001 K and 0.01 s of steps a thirtieth as long
Progress = Callable[[float], None]  # share of the drive done


class Stopped(Exception):
    """The drive was cancelled, as asked."""


def drive(
    vehicle: Vehicle,
    net: Network,
    guards: Sequence[Guard],
    stretches: Sequence[Stretch],
    *,
    rail_a: Mapping[str, Numbers],
    seconds: float,
    start_degc: Numbers | None = None,
    restart_s: Numbers | None = None,
    longest_step_s: float = LONGEST_STEP_S,
    keep_trace: bool = False,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Drive:
    """Drive the stretches round and round for so many seconds.

    rail_a     : what each state of the loads draws from the receiver's supply, (samples,)
    start_degc : (samples, nodes), of all lumps at the start; the outside's when left out
    restart_s  : how long after a latched stop somebody switches off and on; infinite, or left out: nobody does
    Raises     : Stopped when `cancelled()` turns true; SolverGaveUp where guards chatter without end
    """
    run = Run(vehicle, net, guards, start_degc=start_degc, restart_s=restart_s, keep_trace=keep_trace)
    wants = {
        part: demand(
            vehicle, speed_m_s=part.speed_m_s, gain_m_s2=part.gain_m_s2, gradient=part.gradient,
            rail_a=rail_a[part.loads],
        )
        for part in dict.fromkeys(stretches)
    }  # fmt: skip
    now, turn = 0.0, 0
    while now < seconds - 1e-9:
        part = stretches[turn % len(stretches)]
        turn += 1
        length = min(part.seconds, seconds - now)
        count = int(np.ceil(length / longest_step_s - 1e-9))
        for _ in range(count):
            if cancelled():
                raise Stopped
            run.step(wants[part], now, length / count)
            now += length / count
        if progress is not None:
            progress(min(1.0, now / seconds))
    return run.told(seconds)
