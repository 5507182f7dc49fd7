"""What the study answers: how boxes are off in their places; of those without one, whether it is hopeless."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from coachwork.build import Numbers
from coachwork.build.sections.boxes import Face
from coachwork.studies.parts import Part
from coachwork.studies.result import Result
from coachwork.studies.stowage.placed import Placed
from coachwork.studies.stowage.solve import Clash
from coachwork.studies.stowage.tables import Tables


@dataclass(frozen=True, kw_only=True, eq=False)
class Air(Result):
    """The least air round a box, mm (negative: they overlap), and what lies nearest."""

    least_mm: Numbers
    to: str
    at: Placed = field(metadata={"json": False})


@dataclass(frozen=True, kw_only=True, eq=False)
class Plugs(Result):
    """How much more room than they ask for its plugs have, mm, and which is worst off."""

    spare_mm: Numbers
    exit: str
    looks_to: Face
    to: str
    at: Placed = field(metadata={"json": False})


@dataclass(frozen=True, kw_only=True, eq=False)
class Run(Result):
    """One lead: what it takes with its slack, what it is, and the tidier way along the deck's rim; mm."""

    box: str
    to: str
    needs_mm: Numbers
    length_mm: Numbers
    along_rim_mm: float | None  # where both ends are on one deck
    points_mm: Numbers  # (samples, 2, 3)


@dataclass(frozen=True, kw_only=True, eq=False)
class InTheWay(Result):
    """What stands in a hand's or a pack's way."""

    things: tuple[str, ...]
    number: Numbers
    looks_to: Face
    at: Placed = field(metadata={"json": False})


@dataclass(frozen=True, kw_only=True, eq=False)
class Distance(Result):
    """Between two things that keep apart, mm."""

    one: str
    two: str
    apart_mm: Numbers
    asked_mm: Numbers
    hot: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class Side(Result):
    """How far sideways the boxes pull the vehicle's centre of gravity, mm; to the left positive."""

    off_mm: Numbers
    limit_mm: Numbers
    boxes_g: Numbers
    heaviest: str


@dataclass(frozen=True, kw_only=True, eq=False)
class Fit(Result):
    """How many demands cannot hold together, and which; or which of the places given break one."""

    number: Numbers
    broken: tuple[str, ...] = ()  # of places that are given
    clash: Clash | None = field(default=None, metadata={"json": False})
    step_mm: float = 1.0


@dataclass(frozen=True, kw_only=True, eq=False)
class StowageResult(Result):
    """By the boxes' names; leads by "box.lead", faces by (box, face), distances by (box, other)."""

    fit: Part[Fit]
    air: Mapping[str, Part[Air]]
    plugs: Mapping[str, Part[Plugs]]
    leads: Mapping[str, Part[Run]]
    reach: Mapping[str, Part[InTheWay]]
    out: Mapping[str, Part[InTheWay]]
    apart: Mapping[str, Part[Distance]]
    side: Part[Side]
    tables: Tables = field(metadata={"json": False})

    def with_fit(self, fit: Part[Fit]) -> StowageResult:
        """The same, with the answer to the whole question."""
        return replace(self, fit=fit)
