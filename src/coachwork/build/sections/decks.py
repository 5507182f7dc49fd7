"""`[decks]`: the flat places that boxes go on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar

from coachwork.build.entries import BLANKS, Ask, Length, Note
from coachwork.build.places import Steps
from coachwork.build.section import Section
from coachwork.build.sections.boxes import FACES, words_of
from coachwork.quantity import Source

_X = "from the front axle line, forward positive"
_Y = "from the centreline, to the left positive"


class Corner(Section):
    """One corner of a deck's outline, seen from above."""

    x: Annotated[Length, Ask(how="the corner " + _X, sign="any", usual=(-800, 400))] = Length()
    y: Annotated[Length, Ask(how="the corner " + _Y, sign="any", usual=(-300, 300))] = Length()


class Patch(Section):
    """A rectangle seen from above."""

    x_from: Annotated[Length, Ask(how="its rear edge " + _X, sign="any", usual=(-800, 400))] = Length()
    x_to: Annotated[Length, Ask(how="its front edge " + _X, sign="any", usual=(-800, 400))] = Length()
    y_from: Annotated[Length, Ask(how="its right edge " + _Y, sign="any", usual=(-300, 300))] = Length()
    y_to: Annotated[Length, Ask(how="its left edge " + _Y, sign="any", usual=(-300, 300))] = Length()


class Deck(Section):
    """One deck; corners one after another round its outline, under names of your own."""

    height: Annotated[
        Length, Ask(how="its upper face over the chassis's flat underside", sign="any", usual=(-60, 300))
    ] = Length()
    thickness: Annotated[Length, Ask(how="thickness of its plate", usual=(0.3, 20))] = Length()
    outline: dict[str, Corner] = {}
    outline_from: Annotated[
        str,
        Note("instead of an outline, a file of the chassis as drawn, in the chassis frame (x from the front axle line, "
             "z from the flat underside) and in mm where it does not say its unit: STEP, STL, OBJ, PLY, GLB or 3MF; "
             "its flat at this height is the deck"),
    ] = ""  # fmt: skip
    doors: Annotated[dict[str, Patch], Note("openings in it, with a door, that a box is taken out through")] = {}
    open_to: Annotated[
        str,
        Note(f"the sides a hand gets at it from with the shell on, with commas between: {', '.join(FACES)}"),
    ] = ""  # fmt: skip


class Decks(Section):
    """The decks, under names of your own."""

    TABLE: ClassVar[str] = "decks"
    ORDER: ClassVar[int] = 47
    NAMES: ClassVar[str | None] = "each"
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    each: dict[str, Deck] = {}

    def own_faults(self) -> Iterator[tuple[Steps, str, str]]:
        """Fewer than three corners; an outline told twice; sides that are none."""
        for name, deck in self.each.items():
            given = any(corner.x.given or corner.y.given for corner in deck.outline.values())
            if given and len(deck.outline) < 3:
                yield (name, "outline"), f"{len(deck.outline)} corners", "an outline has three corners or more"
            if given and deck.outline_from.strip() not in BLANKS:
                yield (name, "outline-from"), f'read "{deck.outline_from}"', "there are corners, too: leave out one"
            for word in words_of(deck.open_to):
                if word not in FACES:
                    yield (name, "open-to"), f'read "{word}", which is no side', f"there are {', '.join(FACES)}"
