"""What stance finds out; every part may be missing on its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from coachwork.build import Numbers
from coachwork.build.sections.corner import EndName
from coachwork.studies.parts import Part
from coachwork.studies.result import Result
from coachwork.studies.stance.across import AtScale, Seat, Tuck
from coachwork.studies.stance.along import ArchesApart, ArchPair, Belt, CentreShaft, ForeAft, InArch, Wheelbase
from coachwork.studies.stance.bead import Fit
from coachwork.studies.stance.donors import Ranking
from coachwork.studies.stance.upright import Level, OverTyre, Sill, SillHeight, TravelLeft


@dataclass(frozen=True, kw_only=True, eq=False)
class EndStance(Result):
    """One axle under its arches. None stands for a question that does not arise."""

    name: EndName
    wheel: Literal["as planned", "as bought"]
    arches: Part[ArchPair]
    in_arch: Part[InArch]
    fore_aft: Part[ForeAft]
    seat: Part[Seat]
    tuck: Part[Tuck]
    track: Part[AtScale]
    tyre: Part[AtScale]
    ride_height_mm: Part[Numbers]
    axle_height_mm: Part[Numbers]
    sill: Part[Sill]
    over_tyre: Part[OverTyre]
    travel: Part[TravelLeft | None]
    bead_width: Part[Fit | None]
    bead_diameter: Part[Fit | None]


@dataclass(frozen=True, kw_only=True, eq=False)
class StanceResult(Result):
    """The whole vehicle's stance."""

    scale: Part[Numbers]  # shell / prototype, as stated, else as the shell's dimensions agree on
    wheelbase: Part[Wheelbase]
    arches_apart: Part[ArchesApart]
    drive: Part[CentreShaft | Belt | None]
    sill: Part[SillHeight]
    level: Part[Level]
    ends: Mapping[EndName, EndStance]
    donors: Part[Ranking | None]
