"""The tables that stowage reads, and the numbers that stand in one of two places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.build.entries import Length, Mass
from coachwork.build.sections.ceilings import Ceilings
from coachwork.build.sections.keep_outs import KeepOuts
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.masses import Masses
from coachwork.build.sections.stowing import Stowing
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wiring import Wiring
from coachwork.scans.deck_rim import DeckRim
from coachwork.studies.parts import Part
from coachwork.studies.stowage.placed import Around, Placing


@dataclass(frozen=True, kw_only=True)
class Tables(Placing):
    """What stowage reads."""

    ceilings: Ceilings
    keep_outs: KeepOuts
    stowing: Stowing
    wiring: Wiring
    loads: Loads
    masses: Masses
    wanted: Wanted
    wheelbase: Length  # of the running gear as bought
    stretch: Length
    around: Around
    rims: Mapping[str, Part[DeckRim]]  # of decks whose outline a chassis file tells

    @property
    def wheelbase_mm(self) -> Numbers | None:
        """The donor's, stretched as planned; None while it is not measured."""
        if not self.wheelbase.given:
            return None
        longer = self.stretch.mm if self.stretch.given else 0.0
        return np.asarray(self.wheelbase.mm + longer)


def mass_entry(name: str, tables: Tables) -> Mass:
    """Where a box's mass stands: with the box, or with the part of this name in [masses]."""
    own = tables.boxes.each[name].mass
    return tables.masses.each[name].mass if not own.given and name in tables.masses.each else own


def all_needed(tables: Tables) -> Iterator[Length]:
    """Every length that the whole question hangs on."""
    for box in tables.boxes.each.values():
        yield from (box.length, box.width, box.height)
        yield from (exit.room for exit in box.exits.values())
        for name, lead in box.leads.items():
            yield lead.length if name not in tables.wiring.leads else tables.wiring.leads[name].length
        yield from (other.gap for other in box.keep_from.values())
    for deck in tables.decks.each.values():
        yield deck.height
        yield from (entry for corner in deck.outline.values() for entry in (corner.x, corner.y))
        for door in deck.doors.values():
            yield from (door.x_from, door.x_to, door.y_from, door.y_to)
        if len(tables.decks.each) > 1:
            yield deck.thickness
    for low in tables.ceilings.each.values():
        yield from (low.x_from, low.x_to, low.y_from, low.y_to, low.height)
    for out in tables.keep_outs.each.values():
        yield from (out.x_from, out.x_to, out.y_from, out.y_to)
        if out.goes_on not in ("down", "both"):
            yield out.z_from
        if out.goes_on not in ("up", "both"):
            yield out.z_to


def gaps_asked(tables: Tables) -> dict[tuple[str, str], Numbers]:
    """{(box, box or keep-out): the distance they keep}, mm; from `keep-from` and from heat. Raises NotMeasured."""
    asked: dict[tuple[str, str], Numbers] = {}
    known = {**tables.boxes.each, **tables.keep_outs.each}
    order = {name: k for k, name in enumerate(known)}

    def ask(one: str, two: str, gap: Numbers) -> None:
        if two in tables.boxes.each and order[two] < order[one]:
            one, two = two, one
        asked[one, two] = np.maximum(gap, asked[one, two]) if (one, two) in asked else gap

    for name, box in tables.boxes.each.items():
        for other, held in box.keep_from.items():
            if other in known and other != name:
                ask(name, other, held.gap.mm)
        if box.heat == "spoilt by heat":
            hot = [n for n, b in tables.boxes.each.items() if b.heat == "hot"]
            for other in [*hot, *(n for n, k in tables.keep_outs.each.items() if k.hot)]:
                ask(name, other, tables.stowing.heat_gap.mm)
    return asked
