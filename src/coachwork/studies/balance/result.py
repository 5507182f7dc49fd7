"""What balance finds out; every part may be missing on its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.corner import EndName
from coachwork.studies.balance.ride import Damping, Ride, Settled
from coachwork.studies.balance.sprung import Springs
from coachwork.studies.balance.stability import Lean, Stand
from coachwork.studies.balance.weight import Weight
from coachwork.studies.parts import Part
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class Entered(Result):
    """What `[loads]` tells the other questions, beside what is found here; (samples,)."""

    mass_g: Numbers
    found_g: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Shares(Result):
    """Weight on the front wheels as found, as wanted, and as `[loads]` tells the other questions; (samples,)."""

    stood: Stand
    wanted: Numbers
    entered: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Turning(Result):
    """Round its tightest turn; (samples,)."""

    radius_mm: Numbers  # of the centre of gravity's path
    speed_mm_s: Numbers  # wanted
    at_g: Numbers  # what that speed turns with
    tips_at_g: Numbers  # inner wheels lift
    slides_at_g: Numbers  # the tyres' grip
    fastest_mm_s: Numbers  # before it does one of the two
    lean_rad: Part[Numbers]  # at the wanted speed, or at what the tyres hold where that is less


@dataclass(frozen=True, kw_only=True, eq=False)
class Gripped(Result):
    """A steadiness against what the tyres can do; (samples,)."""

    stood: Stand
    grip: Numbers

    @property
    def too_high_mm(self) -> Numbers:
        """How much lower the centre of gravity has to come for the tyres to slide before it tips over."""
        half = self.stood.half_track_mm - np.abs(self.stood.aside_mm)
        return np.asarray(self.stood.height_mm - half / self.grip)


@dataclass(frozen=True, kw_only=True, eq=False)
class BalanceResult(Result):
    """The whole vehicle on its wheels."""

    by_parts: Part[Weight]
    by_scale: Part[Weight]
    stood: Part[Stand]
    entered: Part[Entered]
    shares: Part[Shares]
    gripped: Part[Gripped]
    springs: Mapping[EndName, Part[Springs]]
    settled: Part[Settled]
    ride: Mapping[EndName, Part[Ride]]
    damping: Mapping[EndName, Part[Damping]]
    lean: Part[Lean]
    turning: Part[Turning]
