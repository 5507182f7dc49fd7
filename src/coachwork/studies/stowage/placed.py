"""Boxes where the build puts them, as lengths over samples."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.entries import BLANKS
from coachwork.build.sections.boxes import Box, Boxes
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.stowed import BoxPlace, BoxPlaces
from coachwork.studies.parts import CannotBe
from coachwork.studies.stowage.turns import Turn


@dataclass(frozen=True, kw_only=True)
class Placing:
    """What says where a box is."""

    boxes: Boxes
    decks: Decks
    places: BoxPlaces


@dataclass(frozen=True, kw_only=True, eq=False)
class Thing:
    """A box where it is, a keep-out, a ceiling or a deck's plate: low and high corner in the chassis frame, mm.

    low, high : (samples, 3); infinite where it has no end
    """

    name: str
    low: Numbers
    high: Numbers
    kind: str = "box"


@dataclass(frozen=True, kw_only=True, eq=False)
class Placed(Thing):
    """A box in its place."""

    turn: Turn
    on: str
    own: Numbers  # (samples, 3), length, width, height

    @property
    def middle(self) -> Numbers:
        """(samples, 3)."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, kw_only=True, eq=False)
class Around:
    """What other questions know to lie round the decks.

    things : of kind "part", "sweep" or "ceiling"    unseen : what would be among them, but a number lacks
    """

    things: tuple[Thing, ...] = ()
    unseen: tuple[str, ...] = ()


def size_of(box: Box) -> Numbers:
    """Length, width and height, (samples, 3). Raises NotMeasured."""
    require(box.length, box.width, box.height)
    return np.stack(np.broadcast_arrays(box.length.mm, box.width.mm, box.height.mm), axis=-1)


def has_place(place: BoxPlace | None) -> bool:
    """Whether a place is meant for the box."""
    return place is not None and (place.x.given or place.y.given)


def placed(name: str, tables: Placing, seen: tuple[str, ...] = ()) -> Placed:
    """A box where the build puts it. Raises NotMeasured, and CannotBe where it has no place or stands on nothing."""
    place = tables.places.each.get(name)
    if place is None or not has_place(place):
        raise CannotBe("it has no place yet; coachwork stow looks for one")
    own = size_of(tables.boxes.each[name])
    turn = Turn(place.down, place.turned)
    size = turn.sizes(own)
    on = place.on.strip()
    require(place.x, place.y)
    if on in tables.decks.each:
        level = tables.decks.each[on].height.mm
    elif on in tables.boxes.each and on not in (*seen, name):
        level = placed(on, tables, (*seen, name)).high[..., 2]
    elif on in BLANKS:
        level = place.z.mm
    else:
        raise CannotBe(f'it is placed on "{on}", which is neither a deck nor a box below it')
    middle = np.stack(np.broadcast_arrays(place.x.mm, place.y.mm, level + size[..., 2] / 2), axis=-1)
    return Placed(name=name, low=middle - size / 2, high=middle + size / 2, turn=turn, on=on, own=own)
