"""`[ceilings]`: how high the shell's inside is over the deck, patch by patch."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Length
from coachwork.build.section import Section
from coachwork.build.sections.decks import Patch


class Low(Patch):
    """A patch of the shell's inside, by its lowest point."""

    height: Annotated[
        Length,
        Ask(how="lowest point of the shell's inside over this patch, above the chassis's flat underside",
            usual=(5, 500)),
    ] = Length()  # fmt: skip


class Ceilings(Section):
    """The patches, under names of your own; where there is none, nothing is known to be in the way."""

    TABLE: ClassVar[str] = "ceilings"
    ORDER: ClassVar[int] = 47
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, Low] = {}
