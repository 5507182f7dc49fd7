"""What is kept of a drive as it goes: extremes, energies, and of a trace every moment."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.driven import Trace
from coachwork.studies.power.heat import NODES, Network
from coachwork.studies.power.motion import SHARE, Motion
from coachwork.studies.power.pack import energy_v
from coachwork.studies.power.stride import Moment, Path, Stride
from coachwork.studies.power.vehicle import Flags, Ints, Pack


class Tally:
    """Over all samples, (samples,) or (samples, nodes).

    driven_y, beyond_j : integrals of what drives the state, and of the heat that the air gains beyond the usual
    """

    def __init__(self, motion: Motion, *, y: Numbers, degc: Numbers) -> None:
        n = len(y)
        self.motion, self.begun_y = motion, y
        self.hottest_degc = degc.copy()
        self.lowest_bus_v, self.lowest_rail_v, self.reach = np.full(n, np.inf), np.full(n, np.inf), np.ones(n)
        self.shaft_j, self.driven_y, self.beyond_j = np.zeros(n), np.zeros(y.shape), np.zeros(n)
        self.moments: list[tuple[float, Moment]] = []

    def add(self, part: Stride, path: Path, finish: Moment, took_s: Numbers) -> None:
        """A round of some samples, from the path's begin to a moment on it."""
        i, begin, end = part.rows, path.begin.flow, finish.flow
        self.hottest_degc[i] = np.where(
            part.going[:, None], np.maximum(self.hottest_degc[i], finish.degc), self.hottest_degc[i]
        )
        _lower(self.lowest_bus_v, i, begin.bus_v, end.bus_v, where=part.going)
        _lower(self.lowest_rail_v, i, begin.rail_v, end.rail_v, where=part.fed)
        if begin.strained or end.strained:
            _lower(self.reach, i, begin.reach, end.reach, where=part.going)
        half_s = took_s / 2
        self.shaft_j[i] += half_s * (begin.shaft_w + end.shaft_w)
        self.driven_y[i] += path.driven(took_s)
        self.beyond_j[i] += half_s * (path.begin.beyond_usual_w + finish.beyond_usual_w)

    def lost_j(self, net: Network, y: Numbers) -> Numbers:
        """Heat to the outside: as y' = a y + n, a times the integral of y is what y has gained less what drove it."""
        gained = (y - self.begun_y - self.driven_y)[:, :NODES]
        rise_s = self.motion.rise_k(gained / self.motion.decay_s[:, :NODES])
        return np.asarray(np.sum(net.outside_w_k * rise_s, axis=1) - self.beyond_j)

    def chemical_j(self, pack: Pack, y: Numbers) -> Numbers:
        """Open-circuit voltage over the charge that has left."""
        left = energy_v(pack.chemistry, pack.share) - energy_v(pack.chemistry, y[:, SHARE])
        return np.asarray(pack.cells * pack.charge_as * left)

    def trace(self) -> Trace:
        """Of the moments that were noted."""
        seconds, moments = zip(*self.moments, strict=True)
        return Trace(
            seconds=np.array(seconds),
            degc=np.array([one.degc for one in moments]),
            bus_v=np.array([one.flow.bus_v for one in moments]),
            rail_v=np.array([one.flow.rail_v for one in moments]),
            current_a=np.array([one.flow.current_a for one in moments]),
            share=np.array([one.y[:, SHARE] for one in moments]),
        )


def _lower(low: Numbers, i: Ints | slice, one: Numbers, other: Numbers, *, where: Flags) -> None:
    low[i] = np.where(where, np.minimum(low[i], np.minimum(one, other)), low[i])
