"""`[wanted]`: what you are aiming for. Every line has a usual value, so the table may be left out."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Angle, Ask, Length
from coachwork.build.section import Section
from coachwork.quantity import Source


class WantedEnd(Section):
    """How one end should stand."""

    camber: Annotated[
        Angle,
        Ask(
            how="camber you want at ride height; negative leans the top in",
            sign="any",
            usual=(-0.15, 0.15),
            guess="-1 ± 0 deg",
        ),
    ] = Angle()
    toe: Annotated[
        Angle,
        Ask(
            how="toe you want per wheel; positive points the front edges in",
            sign="any",
            usual=(-0.1, 0.1),
            guess="0 ± 0 deg",
        ),
    ] = Angle()
    tuck: Annotated[
        Length,
        Ask(
            how="how far the tyre's outer face should stand inside the arch lip",
            sign="any",
            usual=(-5, 15),
            guess="1.5 ± 0 mm",
        ),
    ] = Length()


class Wanted(Section):
    """Aims that the verdicts measure against."""

    TABLE: ClassVar[str] = "wanted"
    ORDER: ClassVar[int] = 60
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    turning_circle: Annotated[Length, Ask(how="turning circle you want, kerb to kerb", usual=(200, 4000))] = Length()
    gap: Annotated[
        Length,
        Ask(
            how="gap that should be left between moving parts and everything else, for flex, play and dirt",
            sign="not negative",
            usual=(0, 10),
            guess="0.5 ± 0 mm",
        ),
    ] = Length()
    front: WantedEnd = WantedEnd()
    rear: WantedEnd = WantedEnd()
