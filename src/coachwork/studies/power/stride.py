"""One stride of some of the samples: the step's own solution, and where on it a guard passes its limit.

Between two events nothing switches, and the circuit changes only as slowly as pack and temperatures do. So the heat is
taken as linear in time over a step and the linear network is stepped exactly (`steps`); the slow overvoltage and the
charge ride along as two more modes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.circuit import Demand, Flow, flow
from coachwork.studies.power.guards import Guard, excess
from coachwork.studies.power.heat import NODES, Modes, Network
from coachwork.studies.power.steps import weights
from coachwork.studies.power.vehicle import Flags, Ints, Vehicle, taken

FINEST_S = 1e-4  # how well a moment is found
SLOW, SHARE = NODES, NODES + 1  # behind the modes of heat


@dataclass(frozen=True, kw_only=True, eq=False)
class Path:
    """A step's own solution: y over time for a drive that goes linearly from n0 to n1."""

    h_s: Numbers
    y0: Numbers
    degc0: Numbers
    y1: Numbers
    begin: Flow
    decay: Numbers
    n0: Numbers
    slope: Numbers  # of the drive, a second

    def at(self, after_s: Numbers, rows: Ints) -> Numbers:
        """Y so long after the step's start, of some rows."""
        keep, one, two = weights(self.decay[rows], after_s)
        return keep * self.y0[rows] + one * self.n0[rows] + two * self.slope[rows] * after_s[:, None]


@dataclass(frozen=True, kw_only=True, eq=False)
class Stride:
    """Some of the samples during one stretch, with what is switched on in each."""

    samples: Ints
    vehicle: Vehicle
    net: Network
    modes: Modes
    guards: tuple[Guard, ...]
    decay: Numbers
    want: Demand
    over: Flags
    rail_on: Flags
    motor_on: Flags

    def degc(self, y: Numbers) -> Numbers:
        """(samples, nodes)."""
        return self.modes.rise_k(y[:, :NODES]) + self.net.outside_degc[:, None]

    def flow(self, y: Numbers, degc: Numbers) -> Flow:
        """The circuit at a state."""
        return flow(
            self.vehicle, self.want, degc=degc, slow_v=y[:, SLOW], share=y[:, SHARE], motor_on=self.motor_on,
            rail_on=self.rail_on, controller_on=~self.over,
        )  # fmt: skip

    def path(self, y0: Numbers, h_s: Numbers) -> Path:
        """A step from a state."""
        degc0 = self.degc(y0)
        begin = self.flow(y0, degc0)
        n0 = self._drive(begin, degc0)
        keep, one, two = weights(self.decay, h_s)
        there = keep * y0 + one * n0
        degc = self.degc(there)
        change = self._drive(self.flow(there, degc), degc) - n0
        slope = change / np.maximum(h_s, 1e-12)[:, None]
        return Path(
            h_s=h_s, y0=y0, degc0=degc0, y1=there + two * change, begin=begin, decay=self.decay, n0=n0, slope=slope
        )  # fmt: skip

    def _drive(self, now: Flow, degc: Numbers) -> Numbers:
        pack = self.vehicle.pack
        heat = now.heat_w + self.net.beyond_usual_w(degc - self.net.outside_degc[:, None])
        slow = now.current_a * pack.slow_ohm / pack.slow_s
        drawn = -now.current_a / pack.charge_as
        return np.concatenate([self.modes.drive(heat), slow[:, None], drawn[:, None]], axis=1)

    def lost_j(self, path: Path, y: Numbers, h_s: Numbers) -> Numbers:
        """Heat to the outside in a step: as y' = a y + n, a times the integral of y is dy less the integral of n."""
        driven = path.n0 * h_s[:, None] + path.slope * (h_s**2 / 2)[:, None]
        modes = (y - path.y0 - driven)[:, :NODES]
        rise_s = self.modes.rise_k(modes / self.modes.decay_s)
        outside = self.net.outside_degc[:, None]
        beyond = self.net.beyond_usual_w(path.degc0 - outside) + self.net.beyond_usual_w(self.degc(y) - outside)
        return np.asarray(np.sum(self.net.outside_w_k * rise_s, axis=1) - h_s / 2 * beyond.sum(axis=1))

    def excesses(self, now: Flow, y: Numbers, degc: Numbers) -> Numbers:
        """(guards, samples), how far each is beyond its limit."""
        share, rail_on = y[:, SHARE], self.rail_on
        return np.stack([excess(g, now, self.want, degc=degc, share=share, rail_on=rail_on) for g in self.guards])

    def crossing(
        self, path: Path, j: int, rows: Flags, begin: Numbers, end: Numbers, shift: Numbers | float = 0.0
    ) -> Numbers:
        """Seconds into the step at which guard j is beyond its limit by -shift; infinite in other rows.

        Regula falsi with the value of the side that stays halved (Illinois), between values of opposite sign.
        """
        index = np.flatnonzero(rows)
        part: Stride = taken(self, index)
        shift = np.broadcast_to(shift, rows.shape)[index]
        low, high, f_low, f_high = np.zeros(index.size), path.h_s[index], begin[index], end[index]
        for _ in range(60):
            if np.all(high - low < FINEST_S):
                break
            share = np.clip(f_high / (f_high - f_low), 0.001, 0.999)
            guess = high - share * (high - low)
            y = path.at(guess, index)
            degc = part.degc(y)
            f = shift + excess(
                part.guards[j], part.flow(y, degc), part.want, degc=degc, share=y[:, SHARE], rail_on=part.rail_on
            )
            above = np.sign(f) == np.sign(f_high)
            low, f_low = np.where(above, low, guess), np.where(above, f_low / 2, f)
            high, f_high = np.where(above, guess, high), np.where(above, f, f_high / 2)
        found = np.full(rows.shape, np.inf)
        found[index] = high
        return found
