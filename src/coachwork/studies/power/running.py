"""The state of a drive as it goes, and what happens to it: guards that trip and let go, every one at its own moment.

Where a guard's quantity passes its limit inside a step, the sample goes back to that moment and on from there alone,
while the others wait at the step's end.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coachwork.build import Numbers
from coachwork.errors import SolverGaveUp
from coachwork.studies.power.circuit import Demand, Flow
from coachwork.studies.power.driven import Drive, Happening, Trace
from coachwork.studies.power.guards import Guard, Trip
from coachwork.studies.power.heat import NODES, Network, modes_of
from coachwork.studies.power.pack import energy_v
from coachwork.studies.power.stride import FINEST_S, SHARE, SLOW, Path, Stride
from coachwork.studies.power.vehicle import Ints, Vehicle, taken

MOST_ROUNDS = 5_000  # of events within one step; more means that something chatters for ever


class Run:
    """The state of a drive as it goes; arrays over all samples, of which a step takes those it moves."""

    def __init__(
        self, vehicle: Vehicle, net: Network, guards: Sequence[Guard], *, start_degc: Numbers | None,
        restart_s: Numbers | None, keep_trace: bool,
    ) -> None:  # fmt: skip
        n = vehicle.pack.share.size
        self.vehicle, self.net, self.modes, self.guards = vehicle, net, modes_of(net), tuple(guards)
        rise = np.zeros((n, NODES)) if start_degc is None else start_degc - net.outside_degc[:, None]
        self.y = np.concatenate([self.modes.modes(rise), np.zeros((n, 1)), vehicle.pack.share[:, None]], axis=1)
        self.decay = np.concatenate(
            [self.modes.decay_s, -1 / vehicle.pack.slow_s[:, None], np.zeros((n, 1))], axis=1
        )  # fmt: skip
        count = len(self.guards)
        self.tripped = np.zeros((count, n), dtype=bool)
        self.since = np.full((count, n), np.inf)  # when its limit was passed, while it is
        self.last = np.full((count, n), np.inf)
        self.first = np.full((count, n), np.inf)
        self.trips = np.zeros((count, n))
        self.restart_s = np.full(n, np.inf) if restart_s is None else np.broadcast_to(restart_s, (n,))
        self.hottest = rise + net.outside_degc[:, None]
        self.lowest_bus, self.lowest_rail, self.reach = np.full(n, np.inf), np.full(n, np.inf), np.ones(n)
        self.shaft, self.lost = np.zeros(n), np.zeros(n)
        self.happenings: list[Happening] = []
        self.keep_trace = keep_trace
        self.rows: list[tuple[float, Numbers, Flow, Numbers]] = []

    def step(self, want: Demand, start: float, end: float) -> None:
        """Move every sample to `end`, stopping each at whatever happens to it on the way."""
        n = self.y.shape[0]
        at = np.full(n, start)
        moving: Ints = np.arange(n)
        for rounds in range(MOST_ROUNDS):
            part = self._stride(want, moving)
            at = self._round(part, at, end, first=rounds == 0)
            left = at < end - FINEST_S / 2
            if not left.any():
                return
            moving, at = moving[left], at[left]
        raise SolverGaveUp(
            "a guard that trips and lets go without end", residual=float(end - at.min()), iterations=MOST_ROUNDS,
            start=f"{start:.1f} s",
        )  # fmt: skip

    def _stride(self, want: Demand, samples: Ints) -> Stride:
        """These samples, with what their guards have switched off."""
        tripped = self.tripped[:, samples]
        off = {
            acts: np.any(tripped[[guard.acts == acts for guard in self.guards]], axis=0)
            for acts in ("motor", "supply", "all")
        }
        rail_on = ~(off["supply"] | off["all"])
        parts = (self.vehicle, self.net, self.modes, self.guards, self.decay, want)
        if samples.size < self.y.shape[0]:
            parts = taken(parts, samples)
        vehicle, net, modes, guards, decay, want = parts
        return Stride(
            samples=samples, vehicle=vehicle, net=net, modes=modes, guards=guards, decay=decay, want=want,
            over=off["all"], rail_on=rail_on, motor_on=rail_on & ~off["motor"],  # a dead receiver gives no throttle
        )  # fmt: skip

    def _round(self, part: Stride, at: Numbers, end: float, *, first: bool) -> Numbers:
        """Move some samples from `at` to their next event or to `end`; returns how far each came."""
        i = part.samples
        path = part.path(self.y[i], end - at)
        y, degc = path.y1, part.degc(path.y1)
        finish = part.flow(y, degc)
        before, behind = part.excesses(path.begin, path.y0, path.degc0), part.excesses(finish, y, degc)
        due, passed = np.full(before.shape, np.inf), np.full(before.shape, np.inf)
        for j in np.flatnonzero(((before > 0) | (behind > 0) | self.tripped[:, i]).any(axis=1)):  # few, mostly none
            due[j], passed[j] = self._due(part, path, int(j), before[j], behind[j], at, end)
        which = np.argmin(due, axis=0)
        event = due[which, np.arange(at.size)]
        when = np.minimum(event, end)
        early = np.flatnonzero(when < end)
        if early.size:
            y = y.copy()
            y[early] = path.at(when[early] - at[early], early)
            degc = part.degc(y)
            finish = part.flow(y, degc)
        self.y[i] = y
        self.since[:, i] = np.where(passed <= when, passed, np.inf)
        self._keep(part, path, finish, y, degc, at, when)
        if self.keep_trace and first:
            self._note(part, float(at[0]), path.begin, path.y0)
        for k in np.flatnonzero(np.isfinite(event)):
            self._happen(int(i[k]), int(which[k]), float(when[k]))
        if self.keep_trace and first and not np.isfinite(event).any():
            self._note(part, end, finish, y)
        return np.asarray(when)

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
        self.happenings.append(Happening(second=when, sample=sample, trip=guard.trip, resets=resets))

    def _keep(
        self, part: Stride, path: Path, finish: Flow, y: Numbers, degc: Numbers, at: Numbers, when: Numbers
    ) -> None:
        """Extremes and energies of a round."""
        i, begin = part.samples, path.begin
        going = ~part.over
        self.hottest[i] = np.where(going[:, None], np.maximum(self.hottest[i], degc), self.hottest[i])
        for low, one, other in ((self.lowest_bus, begin.bus_v, finish.bus_v), (self.reach, begin.reach, finish.reach)):
            low[i] = np.where(going, np.minimum(low[i], np.minimum(one, other)), low[i])
        fed = going & part.rail_on & (part.want.rail_a > 0)
        rail = np.minimum(begin.rail_v, finish.rail_v)
        self.lowest_rail[i] = np.where(fed, np.minimum(self.lowest_rail[i], rail), self.lowest_rail[i])
        self.shaft[i] += (when - at) / 2 * (begin.shaft_w + finish.shaft_w)
        self.lost[i] += part.lost_j(path, y, when - at)

    def _chemical_j(self) -> Numbers:
        """Open-circuit voltage over the charge that has left."""
        pack = self.vehicle.pack
        left = energy_v(pack.chemistry, pack.share) - energy_v(pack.chemistry, self.y[:, SHARE])
        return np.asarray(pack.cells * pack.charge_as * left)

    def _note(self, part: Stride, when: float, now: Flow, y: Numbers) -> None:
        self.rows.append((when, part.degc(y), now, y[:, SHARE]))

    def told(self, seconds: float) -> Drive:
        trace = None
        if self.keep_trace:
            trace = Trace(
                seconds=np.array([row[0] for row in self.rows]),
                degc=np.array([row[1] for row in self.rows]),
                bus_v=np.array([row[2].bus_v for row in self.rows]),
                rail_v=np.array([row[2].rail_v for row in self.rows]),
                current_a=np.array([row[2].current_a for row in self.rows]),
                share=np.array([row[3] for row in self.rows]),
            )
        first: dict[Trip, Numbers] = {}
        trips: dict[Trip, Numbers] = {}
        for guard, when, count in zip(self.guards, self.first, self.trips, strict=True):
            first[guard.trip] = np.minimum(first.get(guard.trip, np.inf), when)
            trips[guard.trip] = trips.get(guard.trip, 0.0) + count
        return Drive(
            seconds=seconds, first_s=first, trips=trips,
            degc=self.modes.rise_k(self.y[:, :NODES]) + self.net.outside_degc[:, None], hottest_degc=self.hottest,
            lowest_bus_v=self.lowest_bus, lowest_rail_v=self.lowest_rail, share=self.y[:, SHARE],
            slow_v=self.y[:, SLOW], chemical_j=self._chemical_j(), shaft_j=self.shaft, lost_j=self.lost,
            reach=self.reach,
            happenings=tuple(sorted(self.happenings, key=lambda one: one.second)), trace=trace,
        )  # fmt: skip
