"""`[wheels]`: the wheels and tyres the finished vehicle runs on.

Inset has the sign of ISO 4000-1 and the trade's wheel makers for full-size wheels: positive when the mounting face lies
outboard of the rim's centre plane. Sellers of small wheels often print the opposite sign as "offset". When in doubt
give `backspace` instead: lay the wheel on its outer side and measure from the inner edge of the rim down to the
mounting face; no sign to get wrong.
"""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Length, Numbers, require
from coachwork.build.section import Section


class RimPoint(Section):
    """A point of the rim's inside, where it gets narrower."""

    depth: Annotated[
        Length,
        Ask(
            how="wheel laid on its outer side: inner edge of the rim down to this point of its inside",
            sign="not negative",
            usual=(0, 80),
        ),
    ] = Length()
    diameter: Annotated[Length, Ask(how="diameter of the rim's inside at this depth", usual=(10, 140))] = Length()


class Wheel(Section):
    """One wheel with its tyre; both wheels of an axle are alike."""

    tyre_diameter: Annotated[
        Length, Ask(how="outside diameter of the mounted tyre, not under load", usual=(30, 250))
    ] = Length()
    tyre_width: Annotated[Length, Ask(how="widest point of the mounted tyre, side to side", usual=(8, 120))] = Length()
    tyre_squash: Annotated[
        Length,
        Ask(
            how="how much lower the axle sits with the vehicle's weight on the tyre than without",
            sign="not negative",
            usual=(0, 15),
            guess="1.0 ± 0.8 mm",
        ),
    ] = Length()
    tyre_growth: Annotated[
        Length,
        Ask(
            how="how much further the tread stands out all round at full speed, the wheel spun on the bench",
            sign="not negative",
            usual=(0, 8),
            guess="0.5 ± 0.4 mm",
        ),
    ] = Length()
    tyre_bulge: Annotated[
        Length,
        Ask(
            how="how much further each side of the tyre stands out with the vehicle's weight on it",
            sign="not negative",
            usual=(0, 5),
            guess="0.4 ± 0.3 mm",
        ),
    ] = Length()
    tyre_crown: Annotated[
        Length,
        Ask(
            how="radius of the tread seen from behind, by a template; flat: 1000", usual=(10, 1000), guess="60 ± 30 mm"
        ),
    ] = Length()
    tyre_shoulder: Annotated[
        Length,
        Ask(
            how="radius of the tyre's shoulder between tread and side, by a template",
            usual=(0.3, 30),
            guess="3 ± 1.5 mm",
        ),
    ] = Length()
    rim_width: Annotated[Length, Ask(how="rim's overall width, outer edge to outer edge", usual=(5, 120))] = Length()
    inset: Annotated[
        Length,
        Ask(
            how="rim's centre plane to mounting face; positive when the mounting face is outboard. If the seller's "
            "sign is in doubt, give backspace instead",
            sign="any",
            usual=(-40, 40),
        ),
    ] = Length()
    backspace: Annotated[
        Length,
        Ask(
            how="wheel laid on its outer side: inner edge of the rim down to the mounting face (or give inset)",
            sign="any",
            usual=(-20, 80),
        ),
    ] = Length()
    seat_diameter: Annotated[
        Length, Ask(how="rim: diameter of the shoulder the tyre's bead sits on", usual=(15, 150))
    ] = Length()
    seat_width: Annotated[Length, Ask(how="rim: flange to flange inside, where the two beads sit", usual=(5, 110))] = (
        Length()
    )
    bead_diameter: Annotated[
        Length, Ask(how="tyre, off the rim: diameter of its hole at the bead", usual=(15, 150))
    ] = Length()
    bead_width: Annotated[
        Length, Ask(how="tyre, off the rim and relaxed: outside of one bead to outside of the other", usual=(5, 110))
    ] = Length()

    rim_inside: dict[str, RimPoint] = {}

    @property
    def given(self) -> bool:
        """Whether the builder gave any number of this wheel."""
        return any(entry.given for entry in self.entries())

    def loaded_radius_mm(self) -> Numbers:
        """Height of the wheel's centre over the ground under load, (samples,). Raises NotMeasured."""
        require(self.tyre_diameter, self.tyre_squash)
        return self.tyre_diameter.mm / 2 - self.tyre_squash.mm

    def inset_mm(self) -> Numbers:
        """Inset as given, or backspace less half the rim's width, (samples,).

        Raises NotMeasured asking for backspace, which has no sign to get wrong.
        """
        if self.inset.known:
            return self.inset.mm
        require(self.backspace, self.rim_width)
        return self.backspace.mm - self.rim_width.mm / 2


def fitted(*, planned: Wheel, bought: Wheel) -> Wheel:
    """The wheel the vehicle runs on: the planned one, or the bought one where nothing of another is planned.

    Whole wheels, not number by number: a planned tyre on the bought wheel's inset would be a wheel nobody has, and a
    number left out of the plan would be answered instead of asked for.
    """
    return planned if planned.given or not bought.given else bought


class Wheels(Section):
    """Front and rear wheels as planned; a table left out means the wheel bought with the running gear."""

    TABLE: ClassVar[str] = "wheels"
    ORDER: ClassVar[int] = 30

    front: Wheel = Wheel()
    rear: Wheel = Wheel()
