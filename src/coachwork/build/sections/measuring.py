"""`[measuring]`: what you measure with, and how well."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Angle, Ask, Habits, Length, Mass, Note, Ratio
from coachwork.build.section import Section
from coachwork.quantity import ANGLE, DEFAULT, LENGTH, MASS, Spread
from coachwork.quantity.sources import SOURCE_WORDS


class Measuring(Section):
    """Half-widths to assume where a number states none; leave a line out to keep the usual one."""

    TABLE: ClassVar[str] = "measuring"
    ORDER: ClassVar[int] = 5

    lengths: Literal["callipers", "ruler", "tape"] = "callipers"
    shown_in: Annotated[
        Literal["mm", "in"], Note("what lengths are printed in on your papers; in: with millimetres behind")
    ] = "mm"
    callipers: Annotated[Length, Ask(how="how far a calliper reading of yours may be off, each way")] = Length()
    ruler: Annotated[Length, Ask(how="how far a ruler reading of yours may be off, each way")] = Length()
    tape: Annotated[Length, Ask(how="how far a tape reading of yours may be off, each way")] = Length()
    scan: Annotated[Length, Ask(how="how far your scan may be off, each way")] = Length()
    published: Annotated[Length, Ask(how="how far a published dimension of the full-size vehicle may be off")] = (
        Length()
    )
    gauge: Annotated[Angle, Ask(how="how far an angle reading of yours may be off, each way")] = Angle()
    scales: Annotated[Mass, Ask(how="how far your kitchen scale may be off, each way")] = Mass()
    photo: Annotated[
        Ratio, Ask(how="how far a length taken off a photograph may be off, such as 2 %", usual=(0.001, 0.2))
    ] = Ratio()
    guess: Annotated[Ratio, Ask(how="how far your guesses may be off, such as 20 %", usual=(0.02, 0.8))] = Ratio()

    def habits(self) -> Habits:
        """What a bare number means in this build."""
        spreads = DEFAULT
        absolute = {"callipers": LENGTH, "ruler": LENGTH, "tape": LENGTH, "scan": LENGTH, "published": LENGTH,
                    "gauge": ANGLE, "scales": MASS}  # fmt: skip
        for name, kind in absolute.items():
            if (own := getattr(self, name).measured) is not None:
                spreads = spreads.replacing(SOURCE_WORDS[name], kind, Spread(absolute=own.value))
        for name in ("photo", "guess"):
            if (own := getattr(self, name).measured) is not None:
                spreads = spreads.replacing(SOURCE_WORDS[name], LENGTH, Spread(relative=own.value))
        return Habits(lengths=SOURCE_WORDS[self.lengths], spreads=spreads)
