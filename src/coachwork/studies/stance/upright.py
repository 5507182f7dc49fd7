"""Up from the ground: ride height, sill, arch over the tyre, suspension left. mm, arrays (samples,).

ground -> underside : ride height
underside -> sill   : sill above underside, as the posts hold the shell
sill -> arch's top  : top
ground -> axle      : tyre diameter / 2 - squash; the tyre's top is half a diameter higher
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.studies.parts import Part, need
from coachwork.studies.result import Result
from coachwork.studies.stance.axle import Axle


def ride_height_mm(axle: Axle) -> Numbers:
    """Ground to the flat underside, as changed. Raises NotMeasured."""
    height = axle.changed.ride_height if axle.changed.ride_height.given else axle.gear.ride_height
    return height.mm


@dataclass(frozen=True, kw_only=True, eq=False)
class Sill(Result):
    """The shell's lower side edge over the ground."""

    over_ground_mm: Numbers
    held_by: Literal["posts", "ground line"]


def sill_at(axle: Axle, shell: Shell, changes: Changes) -> Sill:
    """At one axle: as the posts hold it, else at the ground line the shell was measured from. Raises NotMeasured."""
    if changes.sill_above_underside.known:
        return Sill(over_ground_mm=ride_height_mm(axle) + changes.sill_above_underside.mm, held_by="posts")
    return Sill(over_ground_mm=shell.sill_height.mm, held_by="ground line")


@dataclass(frozen=True, kw_only=True, eq=False)
class OverTyre(Result):
    """The gap between the tyre's top and the arch at ride height, and what the suspension uses of it."""

    arch_top_mm: Numbers  # over the ground
    tyre_top_mm: Numbers
    bump_mm: Numbers  # that the wheel has left at this ride height
    lip_mm: Numbers  # thickness
    held_by: Literal["posts", "ground line"]

    @property
    def gap_mm(self) -> Numbers:
        """Arch over tyre."""
        return self.arch_top_mm - self.tyre_top_mm


def over_tyre(axle: Axle, sill: Sill, travel: Part[TravelLeft | None]) -> OverTyre:
    """With the bump travel that tyre and ride height leave, where that is known; else as bought. Raises NotMeasured."""
    wheel = axle.wheel
    require(axle.arch.top, axle.arch.lip, wheel.tyre_diameter, wheel.tyre_squash, axle.gear.bump_travel)
    bump = np.maximum(travel.bump_left_mm, 0.0) if isinstance(travel, TravelLeft) else axle.gear.bump_travel.mm
    return OverTyre(
        arch_top_mm=sill.over_ground_mm + axle.arch.top.mm,
        tyre_top_mm=wheel.loaded_radius_mm() + wheel.tyre_diameter.mm / 2,
        bump_mm=bump, lip_mm=axle.arch.lip.mm, held_by=sill.held_by,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class SillHeight(Result):
    """The sill halfway between the axles against the height it should have."""

    sill_mm: Numbers
    wanted_mm: Numbers
    wanted_from: Literal["prototype", "ground line"]

    @property
    def off_mm(self) -> Numbers:
        """Positive: the body sits too high."""
        return self.sill_mm - self.wanted_mm


def sill_height(
    front: Axle, rear: Axle, prototype: Prototype, shell: Shell, changes: Changes, scale: Part[Numbers]
) -> SillHeight:
    """Raises NotMeasured. The prototype's height at scale is the aim; else the ground line of the shell."""
    require(changes.sill_above_underside)
    sill = (ride_height_mm(front) + ride_height_mm(rear)) / 2 + changes.sill_above_underside.mm
    if not prototype.sill_height.known and shell.sill_height.known:
        return SillHeight(sill_mm=sill, wanted_mm=shell.sill_height.mm, wanted_from="ground line")
    return SillHeight(sill_mm=sill, wanted_mm=prototype.sill_height.mm * need(scale), wanted_from="prototype")


@dataclass(frozen=True, kw_only=True, eq=False)
class Level(Result):
    """Ride heights of the two ends."""

    front_mm: Numbers
    rear_mm: Numbers

    @property
    def off_mm(self) -> Numbers:
        """Positive: the tail is high."""
        return self.rear_mm - self.front_mm


@dataclass(frozen=True, kw_only=True, eq=False)
class TravelLeft(Result):
    """Where another tyre or ride height puts the wheel on its travel."""

    risen_mm: Numbers  # the wheel against the chassis, from where it stood as bought
    bump_mm: Numbers  # as bought
    droop_mm: Numbers  # as bought

    @property
    def bump_left_mm(self) -> Numbers:
        """What is left to the bump stop."""
        return self.bump_mm - self.risen_mm

    @property
    def droop_left_mm(self) -> Numbers:
        """What is left to the droop stop."""
        return self.droop_mm + self.risen_mm


def travel_left(axle: Axle) -> TravelLeft | None:
    """None where nothing changed, or where the hub's new height was measured anew. Raises NotMeasured.

    The wheel rises against the chassis by what its centre rises over the ground less what the chassis does.
    """
    if axle.changed.hardpoints.hub_face.z.given or not (axle.changed.ride_height.given or axle.wheel_planned):
        return None
    end = axle.gear
    require(end.ride_height, end.bump_travel, end.droop_travel, end.wheel.tyre_diameter)
    risen = (axle.wheel.loaded_radius_mm() - end.wheel.loaded_radius_mm()) - (ride_height_mm(axle) - end.ride_height.mm)
    return TravelLeft(risen_mm=risen, bump_mm=end.bump_travel.mm, droop_mm=end.droop_travel.mm)
