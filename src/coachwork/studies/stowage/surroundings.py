"""What lies round the boxes: decks with their outlines and plates, keep-outs, ceilings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.entries import BLANKS
from coachwork.build.sections.decks import Decks, Patch
from coachwork.build.sections.keep_outs import KeepOut
from coachwork.scans.deck_rim import DeckRim
from coachwork.studies.parts import Blocked, CannotBe, Part, attempt, need
from coachwork.studies.stowage.outline import Outline
from coachwork.studies.stowage.placed import Thing
from coachwork.studies.stowage.tables import Tables
from coachwork.studies.wording import first


def outline_of(name: str, decks: Decks, rims: Mapping[str, Part[DeckRim]]) -> Outline:
    """A deck's outline by its plain numbers, or as its chassis file has it. Raises NotMeasured, and CannotBe where it
    has none.
    """
    if name in rims:
        rim = need(rims[name])
        return Outline(rim.corners, rim.holes)
    deck = decks.each[name]
    if len(deck.outline) < 3:
        if deck.outline_from.strip() not in BLANKS:
            raise CannotBe(f"the deck {name} stands in {deck.outline_from}; type its corners to have it made")
        raise CannotBe("a deck has no outline yet: three corners or more")
    require(*(entry for corner in deck.outline.values() for entry in (corner.x, corner.y)))
    return Outline(np.array([[first(corner.x.mm), first(corner.y.mm)] for corner in deck.outline.values()]))


def flat(patch: Patch) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """A patch by its edges: x from and to, y from and to. Raises NotMeasured."""
    require(patch.x_from, patch.x_to, patch.y_from, patch.y_to)
    x, y = (patch.x_from.mm, patch.x_to.mm), (patch.y_from.mm, patch.y_to.mm)
    return np.minimum(*x), np.maximum(*x), np.minimum(*y), np.maximum(*y)


def thing_of(name: str, patch: Patch, low: Numbers, high: Numbers, kind: str) -> Thing:
    """A patch between two heights. Raises NotMeasured."""
    x0, x1, y0, y1 = flat(patch)
    return Thing(
        name=name,
        low=np.stack(np.broadcast_arrays(x0, y0, low), axis=-1),
        high=np.stack(np.broadcast_arrays(x1, y1, high), axis=-1),
        kind=kind,
    )


def keep_out(name: str, held: KeepOut) -> Thing:
    """Raises NotMeasured naming every number it lacks."""
    no_low, no_high = held.goes_on in ("down", "both"), held.goes_on in ("up", "both")
    require(held.x_from, held.x_to, held.y_from, held.y_to,
            *([] if no_low else [held.z_from]), *([] if no_high else [held.z_to]))  # fmt: skip
    low = np.array([-np.inf]) if no_low else held.z_from.mm
    high = np.array([np.inf]) if no_high else held.z_to.mm
    return thing_of(name, held, low, high, "keep-out")


def ceiling(name: str, tables: Tables) -> Thing:
    """Raises NotMeasured."""
    low = tables.ceilings.each[name]
    require(low.x_from, low.x_to, low.y_from, low.y_to, low.height)
    return thing_of(name, low, low.height.mm, np.array([np.inf]), "ceiling")


def plates(tables: Tables) -> Iterator[Thing]:
    """The decks' own plates, in the way of what is on other decks: where there is more than one, and as far as their
    outlines are there. Raises NotMeasured.
    """
    if len(tables.decks.each) < 2:
        return
    for name, deck in tables.decks.each.items():
        outline = attempt(outline_of, name, tables.decks, tables.rims)
        if isinstance(outline, Blocked):  # told where the deck itself is asked about
            continue
        outline = need(outline)
        x0, x1, y0, y1 = outline.bounds
        top, thick = first(deck.height.mm), first(deck.thickness.mm)
        low, high = np.array([[x0, y0, top - thick]]), np.array([[x1, y1, top]])
        yield Thing(name=name, low=low, high=high, kind="plate")
