"""Across the vehicle: from the hub's face to the tyre's outer side, against the arch lip. mm, arrays (samples,).

centreline |<------- hub face ------->|<- spacer ->|             the mounting face
           |<------- wheel centre ------>|<-inset->|             inset positive: mounting face outboard (ISO 4000-1)
           |<------- tyre's outer side ------------------>|      wheel centre + tyre width / 2
           |<------- arch lip, outside ------------------------->|   tuck = lip - outer side
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build import Numbers, require
from coachwork.studies.result import Result
from coachwork.studies.stance.axle import Axle, or_nothing


@dataclass(frozen=True, kw_only=True, eq=False)
class Seat(Result):
    """Where a wheel is bolted on; distances from the centreline, mean of left and right."""

    hub_face_mm: Numbers  # as changed: arms longer or shorter, or the hub face moved
    spacer_mm: Numbers
    inset_mm: Numbers
    inset_given: bool  # else it comes from the backspace, whose sign cannot be mistaken

    @property
    def centre_mm(self) -> Numbers:
        """The wheel's centre plane."""
        return self.hub_face_mm + self.spacer_mm - self.inset_mm

    @property
    def track_mm(self) -> Numbers:
        """Centre plane to centre plane."""
        return 2 * self.centre_mm


def hub_face_mm(axle: Axle) -> Numbers:
    """As changed, from the centreline, mean of left and right. Raises NotMeasured."""
    bought, changed, right = axle.gear.hub_face.y, axle.changed.hardpoints.hub_face.y, axle.gear.right.hub_face.y
    left = changed if changed.given else bought
    require(left)
    face = left.mm
    if right.given and not changed.given:
        face = (face - right.mm) / 2  # y is positive to the left
    # A longer arm carries the hub outward nearly one to one: by the cosine of the arm's slope, 0.985 at 10 degrees.
    return face + or_nothing(axle.changed.arm_longer)


def seat(axle: Axle) -> Seat:
    """Raises NotMeasured."""
    return Seat(
        hub_face_mm=hub_face_mm(axle), spacer_mm=or_nothing(axle.changed.hub_spacer),
        inset_mm=axle.wheel.inset_mm(), inset_given=axle.wheel.inset.given,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class Tuck(Result):
    """The tyre's outer side against the arch lip."""

    seat: Seat
    tyre_width_mm: Numbers
    lip_mm: Numbers  # outside of the lip, from the centreline
    wanted_mm: Numbers

    @property
    def tuck_mm(self) -> Numbers:
        """Positive: the tyre stands inside the lip."""
        return self.lip_mm - self.seat.centre_mm - self.tyre_width_mm / 2

    @property
    def outward_mm(self) -> Numbers:
        """How far each wheel should move outward to stand as wanted."""
        return self.tuck_mm - self.wanted_mm

    @property
    def tuck_flipped_mm(self) -> Numbers:
        """The tuck if the inset had the other sign."""
        return self.tuck_mm - 2 * self.seat.inset_mm

    @property
    def wanted_track_mm(self) -> Numbers:
        """The track that the arches ask for."""
        return wanted_track_mm(lip_mm=self.lip_mm, tuck_mm=self.wanted_mm, tyre_width_mm=self.tyre_width_mm)


def wanted_track_mm(*, lip_mm: Numbers, tuck_mm: Numbers, tyre_width_mm: Numbers) -> Numbers:
    """The track at which tyres stand as far inside their arch lips as wanted."""
    return 2 * (lip_mm - tuck_mm) - tyre_width_mm


def tuck(axle: Axle, on: Seat) -> Tuck:
    """Raises NotMeasured."""
    require(axle.arch.across, axle.wheel.tyre_width, axle.tuck)
    return Tuck(seat=on, tyre_width_mm=axle.wheel.tyre_width.mm, lip_mm=axle.arch.across.mm / 2, wanted_mm=axle.tuck.mm)


@dataclass(frozen=True, kw_only=True, eq=False)
class AtScale(Result):
    """A dimension of the model against the prototype's at the build's scale."""

    model_mm: Numbers
    prototype_mm: Numbers
    scale: Numbers

    @property
    def wanted_mm(self) -> Numbers:
        """The prototype's, at scale."""
        return self.prototype_mm * self.scale

    @property
    def off_mm(self) -> Numbers:
        """Positive: the model's is larger."""
        return self.model_mm - self.wanted_mm
