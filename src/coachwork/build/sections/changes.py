"""`[changes]`: what the build alters on the running gear. A line left out means: as bought."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Count, Length
from coachwork.build.section import Section
from coachwork.build.sections.corner import AxleLink, Hardpoints
from coachwork.build.sections.springing import PlannedDamper, Spring
from coachwork.quantity import Source


class ChangedEnd(Section):
    """One end as changed."""

    arm_longer: Annotated[
        Length,
        Ask(
            how="how much longer the new lower arm is than the old; negative for a shorter one",
            sign="any",
            usual=(-60, 60),
        ),
    ] = Length()
    upper_arm_longer: Annotated[
        Length,
        Ask(
            how="how much longer the new upper arm is than the old; negative for a shorter one",
            sign="any",
            usual=(-60, 60),
        ),
    ] = Length()
    hub_spacer: Annotated[
        Length,
        Ask(how="spacer between hub face and wheel; negative for a thinner hub", sign="any", usual=(-20, 40)),
    ] = Length()
    camber_link_length: Annotated[Length, Ask(how="new camber link, ball centre to ball centre", usual=(8, 200))] = (
        Length()
    )
    tie_rod_length: Annotated[Length, Ask(how="new tie-rod, ball centre to ball centre", usual=(8, 200))] = Length()
    shaft_length: Annotated[Length, Ask(how="new drive shaft, pin centre to pin centre", usual=(15, 250))] = Length()
    ride_height: Annotated[
        Length, Ask(how="wanted height of the chassis's flat underside over the ground at this axle", usual=(2, 150))
    ] = Length()
    hardpoints: Hardpoints = Hardpoints()
    spring: Spring = Spring()
    damper: PlannedDamper = PlannedDamper()
    links: dict[str, AxleLink] = {}


class Changes(Section):
    """The stretch between the ends, the body's mounting height, and each end."""

    TABLE: ClassVar[str] = "changes"
    ORDER: ClassVar[int] = 40
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    stretch: Annotated[
        Length,
        Ask(
            how="how much longer the new wheelbase is than the donor's; negative for a shorter one",
            sign="any",
            usual=(-200, 300),
        ),
    ] = Length()
    belt_teeth: Annotated[Count, Ask(how="teeth of the new belt", usual=(20, 400))] = Count()
    centre_shaft_length: Annotated[
        Length, Ask(how="new centre drive shaft, pin centre to pin centre", usual=(30, 500))
    ] = Length()
    pinion_teeth: Annotated[Count, Ask(how="teeth of the new pinion", usual=(6, 60))] = Count()
    spur_teeth: Annotated[Count, Ask(how="teeth of the new spur", usual=(20, 140))] = Count()
    front_arch_from_axle: Annotated[
        Length,
        Ask(
            how="where the front arch's centre lies ahead of the front axle line; negative behind",
            sign="any",
            usual=(-30, 30),
            guess="0 ± 0.5 mm",
        ),
    ] = Length()
    sill_above_underside: Annotated[
        Length,
        Ask(
            how="shell's lower side edge above the chassis's flat underside, as the posts hold it; negative below",
            sign="any",
            usual=(-60, 80),
        ),
    ] = Length()
    front: ChangedEnd = ChangedEnd()
    rear: ChangedEnd = ChangedEnd()
