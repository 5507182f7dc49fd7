"""What the power study answers; arrays (samples,) unless they say otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.build import Numbers
from coachwork.studies.parts import Part
from coachwork.studies.power.driven import Drive
from coachwork.studies.power.guards import Trip
from coachwork.studies.power.setup import Setup
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class Compared(Result):
    """The same drive otherwise: hottest temperatures of the lumps, (lumps,), and when each guard would first trip."""

    what: str
    hottest_degc: Numbers
    first_s: Mapping[Trip, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class Met:
    """What the driver meets: trips and their ends, in order, with every guard free to act and nobody helping."""

    second: float
    trip: Trip
    resets: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class Answer(Result):
    """One build's drive.

    watched    : with all guards' hands tied but an empty pack's, so that it tells when each would trip first
    run_time_s : until the pack is empty or cut off; beyond the drive, at its mean current
    met        : of the plain answer, what really happens; others, by name: what else could have been
    """

    setup: Setup = field(metadata={"json": False})
    watched: Drive
    run_time_s: Numbers
    met: tuple[Met, ...]
    others: Mapping[str, Compared]


@dataclass(frozen=True, kw_only=True, eq=False)
class PowerResult:
    """All of it hangs together, so a blank number costs all of it."""

    answer: Part[Answer]
