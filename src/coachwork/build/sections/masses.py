"""`[masses]`: what the vehicle is made up of, under names of your own, and where each part's weight sits."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Mass, Point
from coachwork.build.section import Section

_FRAME = "x from the front axle line forward, y from the centreline to the left, z from the flat underside up"


class Lump(Section):
    """One part, or several that sit together."""

    mass: Annotated[
        Mass, Ask(how="the part on a kitchen scale; left out for one of the name of a part that coachwork make has "
                  "made: its solid says it", usual=(1, 8000))
    ] = Mass()  # fmt: skip
    at: Annotated[
        Point,
        Ask(
            how="its centre of gravity in the finished vehicle, where it balances on a pencil laid under it; left out "
            "for a part that is in [boxes], too, or made by coachwork make: its place says it; " + _FRAME,
            sign="any",
            usual=(-600, 600),
        ),
    ] = Point()


class Masses(Section):
    """Everything that is on the scale when the vehicle stands on it: shell, both ends, motor, pack, boxes, driver."""

    TABLE: ClassVar[str] = "masses"
    ORDER: ClassVar[int] = 36
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, Lump] = {}
