"""`[seating]`: what holds the scanned shell over the chassis; only where a mesh is given."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Length
from coachwork.build.section import Section
from coachwork.quantity import Source


class Seating(Section):
    """How the shell's mesh is laid on the chassis. Left out: at the height of `[changes]`, else by its arches.

    `by = "mount-heights"` holds the sill at `changes.sill-above-underside` (or at the two heights below) and the front
    arch at `changes.front-arch-from-axle`; `"arches"` lays the four arch centres over the wheel centres at ride height
    as well as it goes; `"given"` takes the three numbers below.
    """

    TABLE: ClassVar[str] = "seating"
    ORDER: ClassVar[int] = 41
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    by: Literal["mount-heights", "arches", "given"] | None = None
    nose_ahead: Annotated[
        Length, Ask(how="foremost point of the shell ahead of the front axle line", usual=(10, 300))
    ] = Length()
    sill_front: Annotated[
        Length,
        Ask(
            how="shell's lower side edge above the chassis's flat underside, at the front axle; negative below",
            sign="any",
            usual=(-60, 80),
        ),
    ] = Length()
    sill_rear: Annotated[
        Length,
        Ask(
            how="shell's lower side edge above the chassis's flat underside, at the rear axle; negative below",
            sign="any",
            usual=(-60, 80),
        ),
    ] = Length()
