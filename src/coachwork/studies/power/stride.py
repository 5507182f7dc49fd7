"""One stride of some of the samples: the step's own solution, and where on it a guard passes its limit.

Between two events nothing switches, and the circuit changes only as slowly as pack and temperatures do. So the heat is
taken as linear in time over a step and the linear network is stepped exactly (`steps`); the slow overvoltage and the
charge ride along as two more modes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.circuit import Circuit, Flow
from coachwork.studies.power.guards import Guard, Watch, watched
from coachwork.studies.power.motion import SHARE, SLOW, Motion
from coachwork.studies.power.steps import Weights, weights
from coachwork.studies.power.vehicle import Flags, Ints, taken

FINEST_S = 1e-4  # how well a moment is found


@dataclass(frozen=True, kw_only=True, eq=False)
class Moment:
    """Where samples are, and what flows there.

    degc : (samples, nodes)    beyond_usual_w : see `Motion`
    """

    y: Numbers
    degc: Numbers
    beyond_usual_w: Numbers
    flow: Flow


@dataclass(frozen=True, kw_only=True, eq=False)
class Path:
    """A step's own solution: y over time for a drive that goes linearly from n0 by `change` in h_s."""

    h_s: Numbers
    begin: Moment
    end: Moment
    decay_s: Numbers
    n0: Numbers
    change: Numbers

    def at(self, after_s: Numbers, rows: Ints) -> Numbers:
        """Y so long after the step's start, of some rows."""
        keep, one, two = weights(self.decay_s[rows], after_s)
        gone = after_s / np.maximum(self.h_s[rows], 1e-12)
        return keep * self.begin.y[rows] + one * self.n0[rows] + two * self.change[rows] * gone[:, None]

    def driven(self, after_s: Numbers) -> Numbers:
        """The integral of the drive from the step's start."""
        gone = after_s / np.maximum(self.h_s, 1e-12)
        return after_s[:, None] * (self.n0 + self.change * (gone / 2)[:, None])


@dataclass(frozen=True, kw_only=True, eq=False)
class Stride:
    """Some of the samples during one stretch, with what is switched on in each.

    whole : whether these are all samples there are
    going : whether anything is on; fed, whether the receiver is, and asked for something
    still : whether the stretch is a stand
    """

    samples: Ints
    whole: bool
    motion: Motion
    circuit: Circuit
    guards: tuple[Guard, ...]
    going: Flags
    fed: Flags
    still: bool

    @property
    def rows(self) -> Ints | slice:
        """The samples' places among all."""
        return slice(None) if self.whole else self.samples

    def moment(self, y: Numbers) -> Moment:
        """All about a state."""
        degc = self.motion.degc(y)
        return self.here(y, degc, self.motion.beyond_usual_w(degc))

    def here(self, y: Numbers, degc: Numbers, beyond_usual_w: Numbers) -> Moment:
        """The same, where part of it is known."""
        return Moment(y=y, degc=degc, beyond_usual_w=beyond_usual_w, flow=self._flow(y, degc))

    def path(self, begin: Moment, h_s: Numbers, known: Weights | None = None) -> Path:
        """A step from a moment. known: its weights."""
        motion = self.motion
        keep, one, two = known or weights(motion.decay_s, h_s)
        n0 = motion.drive(begin.flow, begin.beyond_usual_w)
        there = keep * begin.y + one * n0
        first = self.moment(there)
        change = motion.drive(first.flow, first.beyond_usual_w) - n0
        end = self.moment(there + two * change)
        return Path(h_s=h_s, begin=begin, end=end, decay_s=motion.decay_s, n0=n0, change=change)

    def watched(self, watch: Watch, now: Moment) -> Numbers | float:
        """What a guard looks at."""
        return self._watched(watch, lambda: now.flow, now.y, now.degc)

    def _watched(self, watch: Watch, flow: Callable[[], Flow], y: Numbers, degc: Numbers) -> Numbers | float:
        return watched(watch, flow, degc=degc, share=y[:, SHARE], fed=self.fed, still=self.still)

    def _flow(self, y: Numbers, degc: Numbers) -> Flow:
        return self.circuit.at(degc=degc, slow_v=y[:, SLOW], share=y[:, SHARE])

    def crossing(
        self, path: Path, j: int, rows: Flags, begin: Numbers, end: Numbers, shift: Numbers | float = 0.0
    ) -> Numbers:
        """Seconds into the step at which guard j is beyond its limit by -shift; infinite in other rows.

        Regula falsi with the value of the side that stays halved (Illinois), between values of opposite sign.
        """
        index = np.flatnonzero(rows)
        part: Stride = taken(self, index)
        guard = part.guards[j]
        shift = np.broadcast_to(shift, rows.shape)[index]
        low, high, f_low, f_high = np.zeros(index.size), path.h_s[index], begin[index], end[index]
        for _ in range(60):
            if np.all(high - low < FINEST_S):
                break
            share = np.clip(f_high / (f_high - f_low), 0.001, 0.999)
            guess = high - share * (high - low)
            y = path.at(guess, index)
            degc = part.motion.degc(y)
            f = shift - guard.bound + part._watched(guard.watches, partial(part._flow, y, degc), y, degc)
            above = np.sign(f) == np.sign(f_high)
            low, f_low = np.where(above, low, guess), np.where(above, f_low / 2, f)
            high, f_high = np.where(above, guess, high), np.where(above, f, f_high / 2)
        found = np.full(rows.shape, np.inf)
        found[index] = high
        return found
