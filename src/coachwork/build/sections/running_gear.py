"""`[running-gear]`: the donor as bought, both ends and what ties them."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Count, Length, Mass
from coachwork.build.section import Section
from coachwork.build.sections.corner import End
from coachwork.quantity import Source


class RunningGear(Section):
    """Wheels, suspension and drive as the donor brought them."""

    TABLE: ClassVar[str] = "running-gear"
    ORDER: ClassVar[int] = 20

    wheelbase: Annotated[Length, Ask(how="front axle line to rear axle line, the donor as bought", usual=(80, 600))] = (
        Length()
    )
    drive: Literal["shaft", "belt", "none"] | None = None
    belt_pitch: Annotated[
        Length,
        Ask(how="belt's tooth pitch, from its marking or ten teeth divided by ten", source=Source.LABEL, usual=(1, 10)),
    ] = Length()
    belt_take_up: Annotated[
        Length,
        Ask(
            how="how far the belt's tensioner moves in all, axle to axle",
            sign="not negative",
            usual=(0, 10),
            guess="0.8 ± 0.4 mm",
        ),
    ] = Length()
    belt_teeth: Annotated[Count, Ask(how="count the teeth of the belt", usual=(20, 400))] = Count()
    centre_shaft_length: Annotated[
        Length, Ask(how="centre drive shaft as bought, pin centre to pin centre", usual=(30, 500))
    ] = Length()
    centre_shaft_plunge: Annotated[
        Length,
        Ask(
            how="how far the centre shaft may slide in its cups, end to end, as fitted",
            sign="not negative",
            usual=(0, 20),
            guess="2.0 ± 1.0 mm",
        ),
    ] = Length()
    mass: Annotated[
        Mass,
        Ask(
            how="the donor as bought, ready to drive with its own body and pack, on a kitchen scale or from its manual",
            usual=(200, 12000),
            guess="1700 ± 400 g",
        ),
    ] = Mass()
    front: End = End()
    rear: End = End()
