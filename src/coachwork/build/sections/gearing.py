"""`[gearing]`: pinion, spur, what turns between spur and wheels, and how far the motor can be moved."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Count, Length, Note, Ratio
from coachwork.build.section import Section
from coachwork.quantity import Source


class Gearing(Section):
    """The gears as the donor brought them; other teeth that you plan stand under `[changes]`."""

    TABLE: ClassVar[str] = "gearing"
    ORDER: ClassVar[int] = 36

    pinion_teeth: Annotated[
        Count,
        Ask(how="count the teeth of the gear on the motor's shaft, or read them off its side", usual=(6, 60),
            guess="20 ± 7"),
    ] = Count()  # fmt: skip
    spur_teeth: Annotated[
        Count,
        Ask(how="count the teeth of the gear that the pinion drives, or read them off its side", usual=(20, 140),
            guess="75 ± 25"),
    ] = Count()  # fmt: skip
    internal_ratio: Annotated[
        Ratio,
        Ask(
            how="turns of the spur for one turn of the wheels: mark both, turn ten turns of the spur by hand with both "
            "wheels of the axle turning alike, divide; or from the donor's manual",
            usual=(1, 30),
            guess="2.6 ± 0.9",
        ),
    ] = Ratio()
    # A module is a size of a standard's series, exact by what it is: the label's half digit would be no spread of it.
    module: Annotated[
        Length,
        Ask(
            how="module marked on pinion and spur, such as 0.6; unmarked: diameter over the tips divided by teeth + 2",
            source=Source.CHOSEN,
            usual=(0.25, 1.5),
        ),
    ] = Length()
    diametral_pitch: Annotated[
        Ratio,
        Ask(
            how="marked on the gears: teeth for each inch, such as 48, where the gears are marked so (or give module)",
            usual=(16, 96),
        ),
    ] = Ratio()
    pinion_module: Annotated[
        Length,
        Ask(
            how="the pinion's own module, from its marking, or diameter over its tips divided by teeth + 2; 48 to the "
            "inch is 0.529 and looks like 0.5 and 0.6",
            source=Source.CHOSEN,
            usual=(0.25, 1.5),
        ),
    ] = Length()
    slot_least: Annotated[
        Length,
        Ask(
            how="motor slid as close to the spur as its slot lets it: centre of its shaft to that of the spur's "
            "(callipers over both shafts, less half of each)",
            usual=(6, 100),
        ),
    ] = Length()
    slot_most: Annotated[
        Length,
        Ask(how="the same by callipers with the motor slid as far from the spur as its slot lets it", usual=(6, 100)),
    ] = Length()
    driven: Annotated[
        Literal["both", "front", "rear"] | None,
        Note(how="which axles the motor drives; left out: both where a shaft or belt runs between the ends"),
    ] = None
    efficiency: Annotated[
        Ratio,
        Ask(
            how="share of the motor's work that reaches the wheels; keep the usual one unless you have measured the "
            "motor's current by multimeter with the wheels off the ground, with and without the pinion",
            usual=(0.4, 0.98),
            guess="0.85 ± 0.08",
        ),
    ] = Ratio()
