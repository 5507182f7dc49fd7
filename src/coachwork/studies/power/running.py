"""The state of a drive as it goes, and what happens to it: guards that trip and let go, every one at its own moment.

Where a guard's quantity passes its limit inside a step, the sample goes back to that moment and on from there alone,
while the others wait at the step's end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from coachwork.build import Numbers
from coachwork.errors import SolverGaveUp
from coachwork.studies.power.circuit import switched
from coachwork.studies.power.demand import Demand
from coachwork.studies.power.driven import Drive, Happening
from coachwork.studies.power.guards import Guard, Trip
from coachwork.studies.power.heat import NODES, Network, modes_of
from coachwork.studies.power.motion import SHARE, SLOW, motion
from coachwork.studies.power.steps import Weights, weights
from coachwork.studies.power.stride import FINEST_S, Moment, Path, Stride
from coachwork.studies.power.tally import Tally
from coachwork.studies.power.vehicle import Vehicle, taken

MOST_ROUNDS = 5_000  # of events within one step; more means that something chatters for ever


class Run:
    """The state of a drive as it goes; arrays over all samples, of which a step takes those it moves."""

    def __init__(
        self, vehicle: Vehicle, net: Network, guards: Sequence[Guard], *, start_degc: Numbers | None,
        restart_s: Numbers | None, keep_trace: bool,
    ) -> None:  # fmt: skip
        n, modes = vehicle.pack.share.size, modes_of(net)
        self.vehicle, self.net, self.guards = vehicle, net, tuple(guards)
        self.motion = motion(net, modes, vehicle.pack)
        rise = np.zeros((n, NODES)) if start_degc is None else start_degc - net.outside_degc[:, None]
        self.y = np.concatenate([modes.modes(rise), np.zeros((n, 1)), vehicle.pack.share[:, None]], axis=1)
        self.degc = rise + net.outside_degc[:, None]
        self.beyond_w = self.motion.beyond_usual_w(self.degc)
        self.tally = Tally(self.motion, y=self.y, degc=self.degc)
        count = len(self.guards)
        self.tripped = np.zeros((count, n), dtype=bool)
        self.awake = np.array([guard.fitted for guard in self.guards], dtype=bool).reshape(count, n)  # may yet act
        self.bounds = np.array([guard.bound for guard in self.guards], dtype=float).reshape(count, n)
        self.watches = tuple(dict.fromkeys(guard.watches for guard in self.guards))
        self.which = np.array([self.watches.index(guard.watches) for guard in self.guards], dtype=np.intp)
        self.since = np.full((count, n), np.inf)  # when its limit was passed, while it is
        self.last = np.full((count, n), np.inf)
        self.first = np.full((count, n), np.inf)
        self.trips = np.zeros((count, n))
        self.restart_s = np.full(n, np.inf) if restart_s is None else np.broadcast_to(restart_s, (n,))
        self.happenings: list[Happening] = []
        self.keep_trace = keep_trace
        self.strides: dict[Demand, Stride] = {}  # of all samples, while nothing trips or lets go
        self.weights: dict[float, Weights] = {}  # of all samples, by length of step

    def step(self, want: Demand, start: float, length: float) -> None:
        """Move every sample so many seconds on, stopping each at whatever happens to it on the way."""
        n = self.y.shape[0]
        end, at, left = start + length, np.full(n, start), np.full(n, length)
        if length not in self.weights:
            self.weights[length] = weights(self.motion.decay_s, left)
        part = self._stride(want)
        for _ in range(MOST_ROUNDS):
            at = self._round(part, at, left, end)
            behind = at < end - FINEST_S / 2
            if not behind.any():
                return
            part, at = replace(taken(self._stride(want), part.samples[behind]), whole=False), at[behind]
            left = end - at
        raise SolverGaveUp(
            "a guard that trips and lets go without end", residual=float(end - at.min()), iterations=MOST_ROUNDS,
            start=f"{start:.1f} s",
        )  # fmt: skip

    def _stride(self, want: Demand) -> Stride:
        """All samples, with what their guards have switched off."""
        if want not in self.strides:
            off = {
                acts: np.any(self.tripped[[guard.acts == acts for guard in self.guards]], axis=0)
                for acts in ("motor", "supply", "all")
            }
            rail_on = ~(off["supply"] | off["all"])
            circuit = switched(
                self.vehicle, want, motor_on=rail_on & ~off["motor"],  # a dead receiver gives no throttle
                rail_on=rail_on, controller_on=~off["all"],
            )  # fmt: skip
            self.strides[want] = Stride(
                samples=np.arange(len(self.y)), whole=True, motion=self.motion, circuit=circuit, guards=self.guards,
                going=~off["all"], fed=rail_on & (want.rail_a > 0), still=want.still,
            )  # fmt: skip
        return self.strides[want]

    def _round(self, part: Stride, at: Numbers, left_s: Numbers, end: float) -> Numbers:
        """Move some samples from `at` to their next event or to `end`; returns how far each came."""
        i, noted = part.rows, self.keep_trace and part.whole
        begin = part.here(self.y[i], self.degc[i], self.beyond_w[i])
        path = part.path(begin, left_s, self.weights[float(left_s[0])] if part.whole else None)
        finish, when = path.end, np.full(at.shape, end)
        if noted:
            self.tally.moments.append((float(at[0]), begin))
        before, behind = self._excesses(part, begin), self._excesses(part, finish)
        alert = ((before > 0) | (behind > 0) | self.tripped[:, i]) & self.awake[:, i]
        if not alert.any():  # mostly
            self.since[:, i] = np.inf
            self._be_there(part, path, finish, left_s)
            if noted:
                self.tally.moments.append((end, finish))
            return when
        due, passed = np.full(before.shape, np.inf), np.full(before.shape, np.inf)
        for j in np.flatnonzero(alert.any(axis=1)):
            due[j], passed[j] = self._due(part, path, int(j), before[j], behind[j], at, end)
        event = due.min(axis=0)
        when = np.asarray(np.minimum(event, end))
        early = np.flatnonzero(when < end)
        if early.size:
            y = finish.y.copy()
            y[early] = path.at(when[early] - at[early], early)
            finish = part.moment(y)
        self.since[:, i] = np.where(passed <= when, passed, np.inf)
        self._be_there(part, path, finish, when - at)
        which, happens = np.argmin(due, axis=0), np.flatnonzero(np.isfinite(event))
        for k in happens:
            self._happen(int(part.samples[k]), int(which[k]), float(when[k]))
        if noted and not happens.size:
            self.tally.moments.append((end, finish))
        return when

    def _excesses(self, part: Stride, now: Moment) -> Numbers:
        """(guards, samples), how far each is beyond its limit."""
        seen = np.empty((len(self.watches), part.samples.size))
        for row, watch in zip(seen, self.watches, strict=True):
            row[:] = part.watched(watch, now)
        return np.asarray(seen[self.which] - self.bounds[:, part.rows])

    def _be_there(self, part: Stride, path: Path, finish: Moment, took_s: Numbers) -> None:
        self.tally.add(part, path, finish, took_s)
        if part.whole:
            self.y, self.degc, self.beyond_w = finish.y, finish.degc, finish.beyond_usual_w
            return
        self.y, self.degc, self.beyond_w = self.y.copy(), self.degc.copy(), self.beyond_w.copy()
        self.y[part.samples], self.degc[part.samples] = finish.y, finish.degc
        self.beyond_w[part.samples] = finish.beyond_usual_w

    def _due(
        self, part: Stride, path: Path, j: int, before: Numbers, behind: Numbers, at: Numbers, end: float
    ) -> tuple[Numbers, Numbers]:
        """When a guard's next event comes in this step, infinite where none does; and since when it is beyond."""
        i, guard = part.samples, part.guards[j]
        tripped, since = self.tripped[j, i], self.since[j, i]
        due = np.full(at.shape, np.inf)
        if tripped.any():
            due = np.where(tripped, self._let_go(part, path, j, before, behind, at), due)
        watch = guard.fitted & ~tripped
        since = np.where(watch & (before > 0), np.minimum(since, at), np.inf)
        if (rising := watch & (before <= 0) & (behind > 0)).any():
            since = np.where(rising, at + part.crossing(path, j, rising, before, behind), since)
        falls = np.full(at.shape, np.inf)
        if (falling := np.isfinite(since) & (behind <= 0)).any():
            falls = at + part.crossing(path, j, falling, before, behind)
        moment = np.maximum(since + guard.hold_s, at)
        due = np.where(moment <= np.minimum(falls, end), moment, due)
        return due, np.where(np.isfinite(falls), np.inf, since)

    def _let_go(self, part: Stride, path: Path, j: int, before: Numbers, behind: Numbers, at: Numbers) -> Numbers:
        """When a tripped guard lets its thing run again, infinite where it does not in this step or ever."""
        i, guard = part.samples, part.guards[j]
        if guard.resets == "never":
            return np.full(at.shape, np.inf)
        if guard.resets in ("off-on", "by itself"):
            wait = self.restart_s[i] if guard.resets == "off-on" else guard.back
            moment = np.maximum(self.last[j, i] + wait, at)
            return np.where(moment <= at + path.h_s, moment, np.inf)
        shift = guard.limit - guard.back  # cooler: its quantity has to fall this far below the limit
        due = np.where(before + shift <= 0, at, np.inf)
        cooling = self.tripped[j, i] & (before + shift > 0) & (behind + shift <= 0)
        if cooling.any():
            due = np.where(cooling, at + part.crossing(path, j, cooling, before + shift, behind + shift, shift), due)
        return due

    def _happen(self, sample: int, j: int, when: float) -> None:
        guard = self.guards[j]
        resets = bool(self.tripped[j, sample])
        if resets and guard.resets == "off-on":  # one switch for everything
            for k, other in enumerate(self.guards):
                if other.resets != "never":
                    self.tripped[k, sample], self.since[k, sample] = False, np.inf
        self.tripped[j, sample] = not resets
        self.since[j, sample] = np.inf
        if not resets:
            self.last[j, sample] = when
            self.first[j, sample] = min(self.first[j, sample], when)
            self.trips[j, sample] += 1
            waits_for_ever = guard.resets == "off-on" and not np.isfinite(self.restart_s[sample])
            self.awake[j, sample] = guard.resets != "never" and not waits_for_ever
        self.strides.clear()
        self.happenings.append(Happening(second=when, sample=sample, trip=guard.trip, resets=resets))

    def told(self, seconds: float) -> Drive:
        """What became of it."""
        first: dict[Trip, Numbers] = {}
        trips: dict[Trip, Numbers] = {}
        for guard, when, count in zip(self.guards, self.first, self.trips, strict=True):
            first[guard.trip] = np.minimum(first.get(guard.trip, np.inf), when)
            trips[guard.trip] = trips.get(guard.trip, 0.0) + count
        tally, pack = self.tally, self.vehicle.pack
        return Drive(
            seconds=seconds, first_s=first, trips=trips, degc=self.degc, hottest_degc=tally.hottest_degc,
            lowest_bus_v=tally.lowest_bus_v, lowest_rail_v=tally.lowest_rail_v, share=self.y[:, SHARE],
            slow_v=self.y[:, SLOW], chemical_j=tally.chemical_j(pack, self.y), shaft_j=tally.shaft_j,
            lost_j=tally.lost_j(self.net, self.y), reach=tally.reach,
            happenings=tuple(sorted(self.happenings, key=lambda one: one.second)),
            trace=tally.trace() if self.keep_trace else None,
        )  # fmt: skip
