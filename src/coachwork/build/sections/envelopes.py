"""`[envelopes]`: the space that parts take up, measured as boxes, cylinders, stacks of cylinders and rods.

Only what may come near something that moves: a post beside the bell-crank, a box behind a tyre, the knuckle inside its
rim. A part on a moving body is measured on the left, with the running gear as its hardpoints were measured.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import BLANKS, Ask, Length, Note, Point
from coachwork.build.places import Steps
from coachwork.build.section import Section

Body = Literal["chassis", "shell", "arm", "carrier", "knuckle", "axle", "bell-crank", "servo-arm"]
FIXED: tuple[Body, ...] = ("chassis", "shell")
# What a part may be named beside in `may-touch`: the things that clearance looks for.
TOUCHING = ("shell", "tyre", "rim", "shaft", "damper", "links", "steering", "anti-roll-bar", "parts")
_MAY_TOUCH = Note('what it touches by design, with commas between, such as "damper": any of ' + ", ".join(TOUCHING))


def _corner(what: str) -> Ask:
    return Ask(
        how=what + "; x forward, y to the left, z from the flat underside up, from the axle line of `end` (left out: "
        "from the front one)",
        sign="any",
        usual=(-600, 600),
    )


class Step(Section):
    """One cylinder of a turned part."""

    length: Annotated[Length, Ask(how="how long this cylinder is, along the axis", usual=(0.3, 200))] = Length()
    diameter: Annotated[Length, Ask(how="diameter of this cylinder", usual=(0.5, 200))] = Length()


class Envelope(Section):
    """The space one part takes up.

    A `box` has two opposite corners, its edges along x, y and z as measured. A `cylinder` has an axis and a diameter, a
    `rod` too, but with round ends, which lie beyond the points by half the diameter; a ball is a rod whose two points
    are one. `turned` is a stack of cylinders along the axis from `axis-from` on, under names of your own in the order
    of the file.
    """

    kind: Literal["box", "cylinder", "turned", "rod"] | None = None
    end: Annotated[
        Literal["front", "rear"] | None,
        Note("the end whose axle line x is measured from; left out, the front's. Needed on a moving body"),
    ] = None
    on: Annotated[Body, Note("what it is fastened to")] = "chassis"
    to_on: Annotated[Body | None, Note("rod: what its other end is fastened to, where that is another body")] = None
    mirrored: Annotated[bool, Note("there is a second one, mirrored to the other side; on a moving body always so")] = (
        False
    )
    may_touch: Annotated[str, _MAY_TOUCH] = ""
    corner: Annotated[Point, _corner("box: one corner")] = Point()
    opposite: Annotated[Point, _corner("box: the corner opposite to it in all three ways")] = Point()
    axis_from: Annotated[Point, _corner("cylinder, rod, turned: one end of the axis")] = Point()
    axis_to: Annotated[Point, _corner("the other end of the axis (turned: any point further along it)")] = Point()
    diameter: Annotated[Length, Ask(how="cylinder, rod: diameter", usual=(0.5, 200))] = Length()
    steps: dict[str, Step] = {}

    @property
    def touches(self) -> tuple[str, ...]:
        """What it may touch."""
        return tuple(word for word in re.split(r"[,\s]+", self.may_touch) if word not in BLANKS)

    @property
    def moves(self) -> bool:
        """Whether any of it sits on a moving body."""
        return self.on not in FIXED or (self.to_on is not None and self.to_on not in FIXED)


class Envelopes(Section):
    """The space that parts take up, under names of your own: what moving parts must keep clear of, and move with."""

    TABLE: ClassVar[str] = "envelopes"
    ORDER: ClassVar[int] = 45
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, Envelope] = {}

    def own_faults(self) -> Iterator[tuple[Steps, str, str]]:
        """A part on a moving body without its end; a word under `may-touch` that names nothing."""
        for name, part in self.each.items():
            if part.moves and part.end is None:
                yield (name,), f'on = "{part.on}"', 'say at which end: end = "front" or end = "rear"'
            if part.to_on not in (None, part.on) and part.kind != "rod":
                yield (name, "to-on"), f'to-on = "{part.to_on}"', "only a rod goes from one body to another"
            for word in part.touches:
                if word not in TOUCHING:
                    yield (name, "may-touch"), word, f"name any of {', '.join(TOUCHING)}"
