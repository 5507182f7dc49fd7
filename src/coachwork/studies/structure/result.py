"""What the study answers; arrays (samples,)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.build import Numbers
from coachwork.studies.parts import Part
from coachwork.studies.result import Result
from coachwork.studies.structure.drop import Landing
from coachwork.studies.structure.post import Column
from coachwork.studies.structure.trials import Trial


@dataclass(frozen=True, kw_only=True, eq=False)
class Twist(Result):
    """Torsional stiffness between the axles, N mm a degree; with the door, in four ways, None where there is none.

    error : that finite elements leave, as a share    thick_mm : the chassis's mean thickness, twice volume by surface
    trials : changes that were computed
    """

    open: Numbers
    pushed: Numbers | None
    slides: Numbers | None
    tied: Numbers | None
    bonded: Numbers | None
    error: float
    thick_mm: float
    trials: tuple[Trial, ...] = ()

    @property
    def counted(self) -> Numbers:
        """What the verdict rests on: with the door's lips only pushing, or without a door."""
        return self.open if self.pushed is None else self.pushed


@dataclass(frozen=True, kw_only=True, eq=False)
class Wanted(Result):
    """Twist that is asked for: a multiple of the springs' own stiffness in roll, of the stiffer axle."""

    roll_nmm_deg: Numbers
    times: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Sag(Result):
    """The deepest between the axles' ends, under what stands on the springs, spread evenly over the chassis."""

    mm: Numbers
    weight_n: Numbers
    span_mm: float
    trials: tuple[Trial, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Drop(Result):
    """Off the kerb, front axle first: the chassis's largest von Mises stress and what it bears.

    unsure     : how far apart the elements round that place say its stress is, as a share
    places_mm  : (n, 3), all places that were looked at, the most stressed ones of the loads that were watched
    places_mpa : (n,), the stress there, by the plain numbers
    """

    landing: Landing
    stress_mpa: Numbers
    bears_mpa: Numbers
    place_mm: tuple[float, float, float]
    unsure: float
    thick_mm: float
    places_mm: Numbers
    places_mpa: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class ArmDrop(Result):
    """A lower arm as its axle lands: largest von Mises stress, and what its material bears.

    lift_n : at its outer pin, upwards
    own    : drawn by the builder
    unsure : how far apart the elements round that place say its stress is, as a share
    """

    part: str
    own: bool
    landing: Landing
    lift_n: Numbers
    stress_mpa: Numbers
    bears_mpa: Numbers
    place_mm: tuple[float, float, float]
    unsure: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Snap(Result):
    """One latch as it closes."""

    strain: Numbers
    stands: Numbers
    longer_mm: float  # the length at which it would just stand it
    longest_mm: float | None  # the length that there is room for, where it is known
    length_mm: float
    deflection_mm: float
    thickness_mm: float
    root_mm: tuple[float, float, float]
    part: str
    material: str


@dataclass(frozen=True, kw_only=True, eq=False)
class Post(Result):
    """One body post, when the vehicle is picked up by its body: upright, and on its side.

    upright_n, aside_n  : what it bears of the weight times `times`
    screw_n, holds_n    : what its screw is pulled with at worst, and the least of what thread and floor hold
    bends_mpa, bears_mpa : stress in the column, and what its material bears
    thread_gives        : before the floor under the screw's head does
    """

    upright_n: Numbers
    aside_n: Numbers
    times: Numbers
    screw_n: Numbers
    holds_n: Numbers
    thread_gives: bool
    bends_mpa: Numbers
    bears_mpa: Numbers
    column: Column
    part: str
    foot_mm: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class Warm(Result):
    """The hottest that something at the part gets, against where its material softens."""

    degc: Numbers
    softens_degc: float
    material: str


@dataclass(frozen=True, kw_only=True, eq=False)
class ShownLoad(Result):
    """A load that finite elements watched, as hard as it comes: `times` what was watched. For colouring the part.

    bears_mpa : of its material, as made    note : what it leaves out
    """

    part: str
    watched: str
    title: str
    words: str
    note: str
    times: Numbers
    bears_mpa: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class StructureResult:
    """A part that lacks a number, or finite elements not run yet, says so; the others stand."""

    twist: Part[Twist]
    wanted: Part[Wanted]
    donor_nmm_deg: Part[Numbers]
    sag: Part[Sag]
    drop: Part[Drop]
    snaps: Mapping[str, Part[Snap]]
    posts: Part[tuple[Post, ...]] = ()
    arms: Mapping[str, Part[ArmDrop]] = field(default_factory=dict)
    warm: Mapping[str, Part[Warm]] = field(default_factory=dict)
    shown: tuple[ShownLoad, ...] = ()
