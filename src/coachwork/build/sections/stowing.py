"""`[stowing]`: how closely boxes are packed, and what a good place is worth."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Length, Ratio
from coachwork.build.section import Section
from coachwork.quantity import Source


class Stowing(Section):
    """Choices for stowage. Every line has a usual value, so the table may be left out."""

    TABLE: ClassVar[str] = "stowing"
    ORDER: ClassVar[int] = 49
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    grid: Annotated[
        Length, Ask(how="step in which places are looked for; sizes are rounded up to it", usual=(0.2, 10),
                    guess="1 ± 0 mm")
    ] = Length()  # fmt: skip
    gap: Annotated[
        Length, Ask(how="air to leave between neighbours", sign="not negative", usual=(0, 20), guess="1 ± 0 mm")
    ] = Length()
    heat_gap: Annotated[
        Length,
        Ask(how="air to leave between what is hot and what is spoilt by heat", sign="not negative", usual=(0, 80),
            guess="10 ± 0 mm"),
    ] = Length()  # fmt: skip
    slack: Annotated[
        Ratio, Ask(how="how much longer than its way a lead has to be", sign="not negative", usual=(0, 1),
                   guess="10 % ± 0 %")
    ] = Ratio()  # fmt: skip
    side_limit: Annotated[
        Length,
        Ask(how="how far sideways the boxes may pull the vehicle's centre of gravity", usual=(0.2, 20),
            guess="2 ± 0 mm"),
    ] = Length()  # fmt: skip
    side_worth: Annotated[
        Ratio,
        Ask(how="millimetres of lead that one millimetre of sideways centre of gravity is worth",
            sign="not negative", usual=(0, 2000), guess="40 ± 0"),
    ] = Ratio()  # fmt: skip
    front_worth: Annotated[
        Ratio,
        Ask(how="millimetres of lead that one per cent of the weight on the wrong axle is worth: what the wanted "
            "front-share of [wanted] asks of places",
            sign="not negative", usual=(0, 500), guess="5 ± 0"),
    ] = Ratio()  # fmt: skip
