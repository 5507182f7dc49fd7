"""`[structure]`: what the parts have to bear, and how the donor's own chassis did."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Length, Mass, Ratio, SpringRate
from coachwork.build.section import Section
from coachwork.quantity import Source


class TwistTest(Section):
    """The donor's bare chassis twisted on the bench: rear end clamped, a bar across the front, a weight on it."""

    weight: Annotated[Mass, Ask(how="the weight hung on the bar, on a kitchen scale", usual=(50, 5000))] = Mass()
    arm: Annotated[
        Length, Ask(how="from the chassis's centreline along the bar to where the weight hangs, by ruler",
                    usual=(20, 600), source=Source.RULER),
    ] = Length()  # fmt: skip
    read_at: Annotated[
        Length, Ask(how="from the centreline along the bar to where its sinking is read, by ruler", usual=(20, 600),
                    source=Source.RULER),
    ] = Length()  # fmt: skip
    sinks: Annotated[
        Length, Ask(how="how far the bar sinks there when the weight is hung on, less how far the clamped end gives: "
                    "by callipers from the bench, twice, and with the bar turned round", usual=(0.1, 100)),
    ] = Length()  # fmt: skip


class Structure(Section):
    """Blank ones have a usual value; the twist test is for a comparison with the donor, and can be left out."""

    TABLE: ClassVar[str] = "structure"
    ORDER: ClassVar[int] = 63

    kerb: Annotated[
        Length, Ask(how="the highest edge it is to drop off with one axle and live, by ruler", usual=(3, 300),
                    guess="25 ± 10 mm", source=Source.RULER),
    ] = Length()  # fmt: skip
    load_factor: Annotated[
        Ratio, Ask(how="peak load on an axle in that drop, in its standing load; left out: worked out from springs, "
                   "tyres and the chassis's own give", usual=(1.5, 40))
    ] = Ratio()  # fmt: skip
    tyre_rate: Annotated[
        SpringRate, Ask(how="stiffness of one tyre: its share of the weight over how much it is squashed",
                        usual=(1, 200), guess="12 ± 6 N/mm")
    ] = SpringRate()  # fmt: skip
    twist_over_roll: Annotated[
        Ratio, Ask(how="how many times as stiff in twist as the stiffer axle's springs are in roll the chassis is to "
                   "be: 1 is a chassis that works as a third spring, 3 one that hardly shows",
                   usual=(0.3, 10), guess="1.5 ± 0.5")
    ] = Ratio()  # fmt: skip
    lift_factor: Annotated[
        Ratio, Ask(how="pull on the body posts when it is picked up by its body, in its weight: 1 is a steady hand, 2 "
                   "all of it at once, more a snatch", usual=(1, 10), guess="2.0 ± 0.5")
    ] = Ratio()  # fmt: skip
    modulus_factor: Annotated[
        Ratio, Ask(how="stiffness of your material against the catalogue's: bend a printed strip of known size and "
                   "compare; 1 where you have not", usual=(0.3, 2), guess="1.00 ± 0.15")
    ] = Ratio()  # fmt: skip
    strength_factor: Annotated[
        Ratio, Ask(how="strength of your material against the catalogue's, from strips broken; 1 where you have not",
                   usual=(0.3, 2), guess="1.00 ± 0.15")
    ] = Ratio()  # fmt: skip
    donor: TwistTest = TwistTest()
