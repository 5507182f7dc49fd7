"""`[places]`: where each box is, or is to go. `coachwork stow` fills it in."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Length, Note
from coachwork.build.section import Section
from coachwork.build.sections.boxes import Face
from coachwork.quantity import Source

Turned = Literal["left", "about", "right"]


class BoxPlace(Section):
    """The place of one box: what it stands on, where, and how it is turned."""

    on: Annotated[str, Note("the deck, or the box, that it stands on; left out: z says how high it is")] = ""
    x: Annotated[
        Length, Ask(how="middle of its footprint, from the front axle line, forward positive", sign="any",
                    usual=(-800, 400))
    ] = Length()  # fmt: skip
    y: Annotated[
        Length, Ask(how="middle of its footprint, from the centreline, to the left positive", sign="any",
                    usual=(-300, 300))
    ] = Length()  # fmt: skip
    z: Annotated[
        Length, Ask(how="its lower side above the chassis's flat underside; only where it stands on no deck and no box",
                    sign="any", usual=(-100, 400))
    ] = Length()  # fmt: skip
    down: Annotated[Face, Note("the face of its own that it stands on, the box tipped over towards that side")] = (
        "bottom"
    )
    turned: Annotated[
        Turned | None,
        Note("seen from above, then turned a quarter to the left or right, or about; left out: not at all"),
    ] = None
    keep: Annotated[bool, Note("whether stow has to leave it there and move the rest")] = False


class BoxPlaces(Section):
    """The places, by the boxes' names."""

    TABLE: ClassVar[str] = "places"
    ORDER: ClassVar[int] = 49
    NAMES: ClassVar[str | None] = "each"
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    each: dict[str, BoxPlace] = {}
