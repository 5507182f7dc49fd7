"""`[boxes]`: what has to be stowed: sizes, leads and plugs, and what each box asks of its neighbours.

A box has faces of its own: lying with its label up and its longest edge fore and aft, it has a front, a rear, a left, a
right, a top and a bottom. They stay with the box however it is turned.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator
from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import BLANKS, Ask, Length, Mass, Note
from coachwork.build.places import Steps
from coachwork.build.section import Section

Face = Literal["front", "rear", "left", "right", "top", "bottom"]
FACES: tuple[Face, ...] = ("front", "rear", "left", "right", "top", "bottom")
_FACES = ", ".join(FACES)


def words_of(text: str) -> tuple[str, ...]:
    """The words of a list in one text, such as "front, top"."""
    return tuple(word for word in re.split(r"[,\s]+", text.strip()) if word not in BLANKS)


class Exit(Section):
    """Where a lead leaves the box, or where something is plugged into it."""

    face: Annotated[Face, Note("the box's own face it is on")]
    across: Annotated[
        Length,
        Ask(
            how="how far off the middle of that face: to the box's left, on its left and right faces to its front; "
            "left out: 0",
            sign="any",
            usual=(-150, 150),
        ),
    ] = Length()
    up: Annotated[
        Length,
        Ask(
            how="how far above the middle of that face, on top and bottom to the box's front; left out: 0",
            sign="any",
            usual=(-150, 150),
        ),
    ] = Length()
    room: Annotated[
        Length,
        Ask(
            how="how far the plug and the bend of its wires stand out straight from the face; 0 for a soft wire",
            sign="not negative",
            usual=(0, 60),
        ),
    ] = Length()


class BoxLead(Section):
    """One lead of the box, to another box."""

    leaves: Annotated[str, Note("which of the box's exits it leaves by; left out: its only one")] = ""
    to: Annotated[str, Note('the box it goes to, or one of its exits: "receiver", "controller.input"')] = ""
    length: Annotated[
        Length,
        Ask(
            how="the lead from where it leaves the box to its plug, pulled straight; left out: that of the lead of "
            "this name in [wiring]",
            usual=(10, 2000),
        ),
    ] = Length()
    thick: Annotated[
        bool,
        Note("a lead of the pack or the motor: each millimetre of it counts three times when leads are kept short"),
    ] = False


class KeepFrom(Section):
    """How far the box keeps from another, or from a keep-out."""

    gap: Annotated[Length, Ask(how="least distance between the two", usual=(0.5, 200))] = Length()


class Box(Section):
    """One box."""

    length: Annotated[Length, Ask(how="front to rear, label up, mounting lugs and heat-shrink included",
                              usual=(3, 400))] = Length()  # fmt: skip
    width: Annotated[Length, Ask(how="left to right, label up, mounting lugs and heat-shrink included",
                             usual=(3, 400))] = Length()  # fmt: skip
    height: Annotated[Length, Ask(how="bottom to top, tape or foot included", usual=(2, 300))] = Length()
    mass: Annotated[
        Mass, Ask(how="the box with its leads on a kitchen scale; left out: its mass in [masses]", usual=(1, 3000))
    ] = Mass()
    stands_on: Annotated[str, Note(f"the faces it may stand on, with commas between: any of {_FACES}")] = "bottom"
    decks: Annotated[str, Note("the decks it may go on, with commas between; left out: any")] = ""
    exits: dict[str, Exit] = {}
    leads: dict[str, BoxLead] = {}
    reach: Annotated[
        str,
        Note("faces that must stay in reach with the shell on (a switch, a charging plug), with commas between: "
             "each looks to an open side of the deck with nothing in between"),
    ] = ""  # fmt: skip
    comes_out: Annotated[
        Literal["down"] | None, Note('"down": it is taken out downwards through the deck, as a pack is, without tools')
    ] = None
    carries: Annotated[bool, Note("whether another box may be taped onto it")] = False
    held_by: Annotated[Literal["tape", "tray"], Note("what holds it: double-sided tape, or a tray with a rim")] = "tape"
    heat: Annotated[
        Literal["hot", "spoilt by heat"] | None,
        Note(
            '"hot": a motor, controller or regulator; "spoilt by heat": a lithium pack, a receiver. The two keep apart'
        ),
    ] = None
    keep_from: dict[str, KeepFrom] = {}


class Boxes(Section):
    """The boxes, under names of your own."""

    TABLE: ClassVar[str] = "boxes"
    ORDER: ClassVar[int] = 48
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, Box] = {}

    def own_faults(self) -> Iterator[tuple[Steps, str, str]]:
        """Faces that are none; leads that go to no box, or leave by no exit."""
        for name, box in self.each.items():
            for key, text in (("stands-on", box.stands_on), ("reach", box.reach)):
                for word in words_of(text):
                    yield from _known((name, key), word, FACES, "face")
            for lead, held in box.leads.items():
                here = (name, "leads", lead)
                if held.leaves.strip() not in BLANKS:
                    yield from _known((*here, "leaves"), held.leaves.strip(), box.exits, f"exit of {name}")
                elif len(box.exits) > 1:
                    yield (*here, "leaves"), "left out", f"say by which it leaves: {', '.join(box.exits)}"
                yield from self._of_target((*here, "to"), held.to.strip(), name)

    def _of_target(self, here: Steps, to: str, own: str) -> Iterator[tuple[Steps, str, str]]:
        if to in BLANKS:
            return
        box, _, exit = to.partition(".")
        yield from _known(here, box, [name for name in self.each if name != own], "other box")
        if exit and box in self.each:
            yield from _known(here, exit, self.each[box].exits, f"exit of {box}")


def _known(here: Steps, word: str, known: Iterable[str], what: str) -> Iterator[tuple[Steps, str, str]]:
    known = list(known)
    if word not in known:
        near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
        yield (
            here,
            f'read "{word}", which is no {what}',
            (f"did you mean {near[0]}?" if near else f"there is {', '.join(known) or 'none yet'}"),
        )
