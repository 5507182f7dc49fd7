"""A drive: circuit, heat and guards over a duty, all samples at once, every event at its own moment.

Between two events nothing switches, and the circuit changes only as slowly as pack and temperatures do. So the heat is
taken as linear in time over a step and the linear network is stepped exactly (`steps`); the slow overvoltage and the
charge ride along as two more modes. Where a guard's quantity passes its limit inside a step, the sample goes back to
that moment, found on the step's own solution, and on from there alone, while the others wait at the step's end.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Numbers
from coachwork.errors import SolverGaveUp
from coachwork.studies.power.circuit import Demand, Flow, demand, flow
from coachwork.studies.power.duty import Stretch
from coachwork.studies.power.guards import Guard, Trip, excess
from coachwork.studies.power.heat import NODES, Modes, Network, modes_of
from coachwork.studies.power.pack import energy_v
from coachwork.studies.power.steps import weights
from coachwork.studies.power.vehicle import Flags, Vehicle
from coachwork.studies.result import Result

LONGEST_STEP_S = 30.0  # docs/theory/power.md: within 0.001 K and 0.01 s of steps a thirtieth as long
FINEST_S = 1e-4  # how well a moment is found
MOST_ROUNDS = 5_000  # of events within one step; more means that something chatters for ever
SLOW, SHARE = NODES, NODES + 1  # behind the modes of heat
T = TypeVar("T")
Ints = NDArray[np.intp]
Progress = Callable[[float], None]  # share of the drive done


class Stopped(Exception):
    """The drive was cancelled, as asked."""


@dataclass(frozen=True, kw_only=True)
class Happening:
    """A guard trips or lets go: when, for which sample."""

    second: float
    sample: int
    trip: Trip
    resets: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class Trace(Result):
    """Curves over time: seconds (times,), the others (times, samples) and degc (times, samples, nodes)."""

    seconds: Numbers
    degc: Numbers
    bus_v: Numbers
    rail_v: Numbers
    current_a: Numbers
    share: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Drive(Result):
    """What became of it; (samples,) unless it says otherwise.

    first_s      : of each guard, when it first trips; infinite where it never does
    trips        : of each guard, how often
    degc         : (samples, nodes), when it ends
    hottest_degc : (samples, nodes), while it was driven
    lowest_bus_v, lowest_rail_v : under way
    share        : of the charge left; slow_v : the overvoltage left
    chemical_j   : given up by the pack; shaft_j : to the gears; lost_j : to the outside
    reach        : least speed reached over the speed asked for
    """

    seconds: float
    first_s: Mapping[Trip, Numbers]
    trips: Mapping[Trip, Numbers]
    degc: Numbers
    hottest_degc: Numbers
    lowest_bus_v: Numbers
    lowest_rail_v: Numbers
    share: Numbers
    slow_v: Numbers
    chemical_j: Numbers
    shaft_j: Numbers
    lost_j: Numbers
    reach: Numbers
    happenings: tuple[Happening, ...]
    trace: Trace | None = field(metadata={"json": False})


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
    run = _Run(vehicle, net, guards, start_degc=start_degc, restart_s=restart_s, keep_trace=keep_trace)
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
            run.step(wants[part], now, now + length / count)
            now += length / count
        if progress is not None:
            progress(min(1.0, now / seconds))
    return run.told(seconds)


class _Run:
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
            part = _Part.of(self, want, moving)
            at = self._round(part, at, end, first=rounds == 0)
            left = at < end - FINEST_S / 2
            if not left.any():
                return
            moving, at = moving[left], at[left]
        raise SolverGaveUp(
            "a guard that trips and lets go without end", residual=float(end - at.min()), iterations=MOST_ROUNDS,
            start=f"{start:.1f} s",
        )  # fmt: skip

    def _round(self, part: _Part, at: Numbers, end: float, *, first: bool) -> Numbers:
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
        self, part: _Part, path: _Path, j: int, before: Numbers, behind: Numbers, at: Numbers, end: float
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

    def _let_go(self, part: _Part, path: _Path, j: int, before: Numbers, behind: Numbers, at: Numbers) -> Numbers:
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
        self, part: _Part, path: _Path, finish: Flow, y: Numbers, degc: Numbers, at: Numbers, when: Numbers
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

    def _note(self, part: _Part, when: float, now: Flow, y: Numbers) -> None:
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


@dataclass(frozen=True, kw_only=True, eq=False)
class _Path:
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
class _Part:
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

    @classmethod
    def of(cls, run: _Run, want: Demand, samples: Ints) -> _Part:
        """These samples, with what their guards have switched off."""
        tripped = run.tripped[:, samples]
        off = {
            acts: np.any(tripped[[guard.acts == acts for guard in run.guards]], axis=0)
            for acts in ("motor", "supply", "all")
        }
        rail_on = ~(off["supply"] | off["all"])
        parts = (run.vehicle, run.net, run.modes, run.guards, run.decay, want)
        if samples.size < run.y.shape[0]:
            parts = taken(parts, samples)
        vehicle, net, modes, guards, decay, want = parts
        return cls(
            samples=samples, vehicle=vehicle, net=net, modes=modes, guards=guards, decay=decay, want=want,
            over=off["all"], rail_on=rail_on, motor_on=rail_on & ~off["motor"],  # a dead receiver gives no throttle
        )  # fmt: skip

    def degc(self, y: Numbers) -> Numbers:
        """(samples, nodes)."""
        return self.modes.rise_k(y[:, :NODES]) + self.net.outside_degc[:, None]

    def flow(self, y: Numbers, degc: Numbers) -> Flow:
        """The circuit at a state."""
        return flow(
            self.vehicle, self.want, degc=degc, slow_v=y[:, SLOW], share=y[:, SHARE], motor_on=self.motor_on,
            rail_on=self.rail_on, controller_on=~self.over,
        )  # fmt: skip

    def path(self, y0: Numbers, h_s: Numbers) -> _Path:
        """A step from a state."""
        degc0 = self.degc(y0)
        begin = self.flow(y0, degc0)
        n0 = self._drive(begin, degc0)
        keep, one, two = weights(self.decay, h_s)
        there = keep * y0 + one * n0
        degc = self.degc(there)
        change = self._drive(self.flow(there, degc), degc) - n0
        slope = change / np.maximum(h_s, 1e-12)[:, None]
        return _Path(
            h_s=h_s, y0=y0, degc0=degc0, y1=there + two * change, begin=begin, decay=self.decay, n0=n0, slope=slope
        )  # fmt: skip

    def _drive(self, now: Flow, degc: Numbers) -> Numbers:
        pack = self.vehicle.pack
        heat = now.heat_w + self.net.beyond_usual_w(degc - self.net.outside_degc[:, None])
        slow = now.current_a * pack.slow_ohm / pack.slow_s
        drawn = -now.current_a / pack.charge_as
        return np.concatenate([self.modes.drive(heat), slow[:, None], drawn[:, None]], axis=1)

    def lost_j(self, path: _Path, y: Numbers, h_s: Numbers) -> Numbers:
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
        self, path: _Path, j: int, rows: Flags, begin: Numbers, end: Numbers, shift: Numbers | float = 0.0
    ) -> Numbers:
        """Seconds into the step at which guard j is beyond its limit by -shift; infinite in other rows.

        Regula falsi with the value of the side that stays halved (Illinois), between values of opposite sign.
        """
        index = np.flatnonzero(rows)
        part: _Part = taken(self, index)
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


def taken(whole: T, samples: Ints) -> T:
    """The same thing for some of the samples: arrays by their first axis, tuples and dataclasses part by part."""
    if isinstance(whole, np.ndarray):
        return whole[samples]  # type: ignore[return-value]
    if isinstance(whole, tuple):
        return tuple(taken(item, samples) for item in whole)  # type: ignore[return-value]
    if is_dataclass(whole) and not isinstance(whole, type):
        parts = {one.name: taken(getattr(whole, one.name), samples) for one in fields(whole)}
        return type(whole)(**parts)
    return whole
