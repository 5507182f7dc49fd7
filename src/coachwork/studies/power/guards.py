"""What can stop a vehicle: each guard watches one quantity, acts on one thing, and has its own way back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.circuit import Flow
from coachwork.studies.power.heat import CAN, CONTROLLER, REGULATOR
from coachwork.studies.power.vehicle import Flags
from coachwork.studies.result import Result

Trip = Literal[
    "cell cut-off", "controller heat", "motor heat", "regulator heat", "brown-out",
    "idle time-out", "empty",
]  # fmt: skip
Watch = Literal["bus", "rail", "controller", "regulator", "can", "still", "share"]
Acts = Literal["nothing", "motor", "supply", "all"]
Resets = Literal["off-on", "cooler", "by itself", "never"]
_FALLING: tuple[Watch, ...] = ("bus", "rail", "share")
_LUMPS: Mapping[Watch, int] = MappingProxyType({"controller": CONTROLLER, "regulator": REGULATOR, "can": CAN})


@dataclass(frozen=True, kw_only=True, eq=False)
class Guard(Result):
    """One protection (or a limit that nothing protects), over samples.

    limit  : in the unit of what it watches; voltages and the share left must not fall below, others not rise above
    hold_s : how long it must last before it counts
    fitted : whether there is such a guard
    acts   : what it switches off: the motor, the receiver's supply and with it the motor, all, or nothing
             (a current limit is no guard: it sags the rail, see `circuit`, and can so brown the receiver out)
    resets : off-on, a latch that only switching off and on clears; cooler, below the temperature `back`; by itself,
             after `back` seconds
    """

    trip: Trip
    watches: Watch
    limit: Numbers
    hold_s: Numbers
    fitted: Flags
    acts: Acts
    resets: Resets = "off-on"
    back: Numbers

    @property
    def bound(self) -> Numbers:
        """Its limit, signed as `watched` is."""
        return -self.limit if self.watches in _FALLING else self.limit


def watched(
    watch: Watch, flow: Callable[[], Flow], *, degc: Numbers, share: Numbers, fed: Flags, still: bool
) -> Numbers | float:  # fmt: skip
    """What a guard looks at, (samples,), so signed that more of it is worse: beyond its limit above `Guard.bound`.

    flow : gives the circuit's moment, asked for where the circuit is watched
    fed  : whether the receiver is on and asked for something; else its volts cannot fall short
    still: whether the vehicle is told to stand
    """
    match watch:
        case "bus":
            return -flow().bus_v
        case "rail":
            return np.where(fed, -flow().rail_v, -np.inf)
        case "still":
            return 1.0 if still else -1.0
        case "share":
            return -share
    return degc[:, _LUMPS[watch]]


def watching(guards: Iterable[Guard]) -> tuple[Guard, ...]:
    """The same guards with their hands tied: they tell when, and only an empty pack ends the drive.

    Until the first of them acts, a drive with tied guards is the same as one with free ones, so that it tells when
    each would have tripped first; and it goes on to tell how warm it would have become.
    """
    ends = ("cell cut-off", "empty")
    return tuple(
        replace(guard, acts="all", resets="never")
        if guard.trip in ends
        else replace(guard, acts="nothing", resets="never")
        for guard in guards
    )
