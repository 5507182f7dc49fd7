"""`[candidates]`: donors you could still choose from, under names of your own."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Length
from coachwork.build.section import Section
from coachwork.quantity import Source


class Candidate(Section):
    """The few numbers that tell how much work a donor needs."""

    wheelbase: Annotated[Length, Ask(how="front axle line to rear axle line", source=Source.LABEL, usual=(80, 600))] = (
        Length()
    )
    hub_faces_front: Annotated[
        Length, Ask(how="left wheel's mounting face to the right one's, front", source=Source.LABEL, usual=(40, 400))
    ] = Length()
    hub_faces_rear: Annotated[
        Length, Ask(how="left wheel's mounting face to the right one's, rear", source=Source.LABEL, usual=(40, 400))
    ] = Length()
    drive: Literal["shaft", "belt", "none"] | None = None
    belt_pitch: Annotated[Length, Ask(how="belt's tooth pitch", source=Source.LABEL, usual=(1, 10))] = Length()


class Candidates(Section):
    """Donors under consideration."""

    TABLE: ClassVar[str] = "candidates"
    ORDER: ClassVar[int] = 70
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, Candidate] = {}
