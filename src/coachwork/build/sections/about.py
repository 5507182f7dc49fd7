"""`[build]`: which vehicle this is."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Ratio
from coachwork.build.section import Section
from coachwork.quantity import Source


class About(Section):
    """What the build is called and how much smaller than life it is."""

    TABLE: ClassVar[str] = "build"
    ORDER: ClassVar[int] = 0
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    format: int = 1
    name: str = "Unnamed build"
    note: str = ""
    scale: Annotated[
        Ratio, Ask(how="the scale you build to, such as 1:10; from the shell's box or maker", usual=(1 / 32, 1 / 4))
    ] = Ratio()
