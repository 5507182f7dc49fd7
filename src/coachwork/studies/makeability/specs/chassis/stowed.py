"""What the floor has for the boxes: wells, lands for tape, passages for the pack's leads."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build.sections.decks import Deck
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.stiffening import Box, Rect
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Missing, attempt, is_missing
from coachwork.studies.stowage.placed import placed
from coachwork.studies.stowage.turns import exit_point

LEAST_FLOOR_MM = 1.2  # left under a box that is let into the floor; below it the floor is cut through
NONE = np.zeros(1)
PACK = "pack"


def wells_and_lands(
    tables: PartTables, deck: Deck, bounds: Rect, top: float, floor: float
) -> tuple[tuple[Box, ...], tuple[Rect, ...]]:
    """Wells for boxes that stand lower than the floor, and lands for those taped to it."""
    wells, lands = [], []
    gap = number(tables.making.fit_gap)
    for name, box in tables.boxes.each.items():
        here = attempt(placed, name, tables.placing)
        if isinstance(here, Missing):
            continue  # stowage says so, and the floor can be drawn without its place
        if is_missing(here):
            continue
        (x0, y0, z0), (x1, y1, _) = here.low[0], here.high[0]
        rect = (round(x0 - gap, 4), round(x1 + gap, 4), round(y0 - gap, 4), round(y1 + gap, 4))
        if z0 < top - 0.05 and here.on == "":
            left = z0 - gap - (top - floor)
            low = top - floor - 1.0 if left < LEAST_FLOOR_MM else z0 - gap
            wells.append((*_to_edges(rect, bounds), round(low, 4), top))
        elif here.on == tables.parts.chassis.deck and box.held_by == "tape":
            lands.append(rect)
    return tuple(wells), tuple(lands)


def _to_edges(rect: Rect, bounds: Rect, least: float = 3.0) -> Rect:
    """A well that would leave a sliver at the floor's edge goes on to the edge; it never cuts a side wall."""
    x0, x1, y0, y1 = rect
    if abs(x0 - bounds[0]) < least:
        x0 = bounds[0] - least
    y0, y1 = max(y0, bounds[2]), min(y1, bounds[3])
    return (round(x0, 4), round(x1, 4), round(y0, 4), round(y1, 4))


def standing(tables: PartTables, top: float) -> Iterator[Rect]:
    """Footprints of the boxes that stand on the floor or in it, with the fit's gap."""
    gap = number(tables.making.fit_gap)
    for name in tables.boxes.each:
        here = attempt(placed, name, tables.placing)
        if is_missing(here) or here.low[0, 2] > top + 0.5:
            continue
        (x0, y0, _), (x1, y1, _) = here.low[0], here.high[0]
        yield (round(float(x0) - gap, 4), round(float(x1) + gap, 4), round(float(y0) - gap, 4),
               round(float(y1) + gap, 4))  # fmt: skip


def passages_of(tables: PartTables) -> list[tuple[float, float]]:
    """Where the pack's leads cross the rim: straight out from its exits."""
    here = attempt(placed, PACK, tables.placing) if PACK in tables.boxes.each else Missing(())
    if is_missing(here):
        return []
    found = []
    for exit in tables.boxes.each[PACK].exits.values():
        way = here.turn.offset(exit_point(exit.face, here.own, across_mm=NONE, up_mm=NONE)[0] * 1.1)
        x, y, _ = here.middle[0] + way
        found.append((round(float(x), 4), round(float(y), 4)))
    return found
