"""What the study answers: each end as bought and as changed, side by side."""

from __future__ import annotations

from dataclasses import dataclass, field

from coachwork.build import Angle
from coachwork.build.sections.corner import EndName
from coachwork.geometry.vectors import Array
from coachwork.studies.linkage.axle import AxleResult
from coachwork.studies.linkage.fittings import BallJoints, Damper, Shaft
from coachwork.studies.linkage.ground import Ground
from coachwork.studies.linkage.steered import Lock, Servo, Turn
from coachwork.studies.linkage.sweep import CornerSweep
from coachwork.studies.parts import Part
from coachwork.studies.result import Result


@dataclass(frozen=True, eq=False, kw_only=True)
class Variant(Result):
    """One end in one state, its left side; and its right side as a left one, mirrored, where the two differ."""

    left: CornerSweep
    right: CornerSweep  # the same object where the sides are alike
    other: Variant | None  # the right side in place of the left, None where the sides are alike
    ground: Part[Ground]
    joints: Part[BallJoints]
    shaft: Part[Shaft]
    damper: Part[Damper]
    lock: Part[Lock]
    turn: Part[Turn]
    servo: Part[Servo]


@dataclass(frozen=True, eq=False, kw_only=True)
class Wanted(Result):
    """What this end should do, and what lengths and heights would make it; (samples)."""

    camber_rad: Array
    toe_rad: Array


@dataclass(frozen=True, eq=False, kw_only=True)
class Cure(Result):
    """Lengths and heights that would put the changed end right; (samples), mm. A part is missing where it cannot."""

    camber_link_longer_mm: Part[Array]  # than it is, for the wanted camber at ride height
    tie_rod_longer_mm: Part[Array]  # than it is, for the wanted toe at ride height
    shaft_longer_mm: Part[Array]  # than it is, for equal room to both ends of its plunge
    tie_rod_inner_higher_mm: Part[Array]  # its inner ball, for the least toe change over travel
    least_bump_steer_rad: Part[Array]  # what is left then


@dataclass(frozen=True, eq=False, kw_only=True)
class EndResult(Result):
    """One end of the vehicle: what it was and what the changes make of it."""

    name: EndName
    kind: str | None
    steered: bool
    driven: bool
    bought: Part[Variant]
    changed: Part[Variant]
    wanted: Wanted
    arch_gap_mm: Part[Array]  # (samples), fore-aft room between tyre and arch, straight ahead
    circle_wanted_mm: Part[Array]  # (samples), the turning circle to reach
    cure: Part[Cure]
    measured_angles: tuple[Angle, Angle] = field(metadata={"json": False})  # camber and toe as bought


@dataclass(frozen=True, eq=False, kw_only=True)
class LinkageResult(Result):
    """Both ends."""

    front: EndResult | AxleResult
    rear: EndResult | AxleResult
