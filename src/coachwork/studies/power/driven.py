"""What became of a drive."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.build import Numbers
from coachwork.studies.power.guards import Trip
from coachwork.studies.result import Result


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
