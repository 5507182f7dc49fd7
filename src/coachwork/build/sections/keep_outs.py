"""`[keep-outs]`: space that boxes have to leave free: posts, sweeps of what moves, a screwdriver's way, the motor."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Length, Note
from coachwork.build.section import Section
from coachwork.build.sections.decks import Patch

_Z = "above the chassis's flat underside"


class KeepOut(Patch):
    """One of them, as a box along the axes."""

    what: Annotated[
        Literal["post", "moving part", "screwdriver's way", "motor", "part"],
        Note("what it is; a moving part is given by all the space it sweeps"),
    ] = "part"
    goes_on: Annotated[
        Literal["up", "down", "both"] | None, Note('where it has no end: "up" for a screwdriver\'s way from above')
    ] = None
    z_from: Annotated[
        Length, Ask(how=f"its lower end {_Z}; not asked where it goes on down", sign="any", usual=(-100, 400))
    ] = Length()
    z_to: Annotated[
        Length, Ask(how=f"its upper end {_Z}; not asked where it goes on up", sign="any", usual=(-100, 400))
    ] = Length()
    hot: Annotated[bool, Note("whether what is spoilt by heat keeps away from it")] = False


class KeepOuts(Section):
    """The keep-outs, under names of your own."""

    TABLE: ClassVar[str] = "keep-outs"
    ORDER: ClassVar[int] = 47
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, KeepOut] = {}
