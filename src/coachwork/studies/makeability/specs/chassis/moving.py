"""What is kept free of the floor: what moves, and the ways of screwdrivers."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.makeability.specs.stiffening import Rect
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.stowage.surroundings import keep_out

CLEAR_MM = 1.0  # round what moves, where the floor is cut out for it; common practice, no source


def cut_outs_of(tables: PartTables, top: float) -> list[Rect]:
    """Through the floor, round what moves and reaches below its top."""
    found = []
    for name, held in tables.keep_outs.each.items():
        if held.what == "moving part":
            thing = keep_out(name, held)
            if thing.low[0, 2] < top:
                (x0, y0, _), (x1, y1, _) = thing.low[0], thing.high[0]
                grown = (x0 - CLEAR_MM, x1 + CLEAR_MM, y0 - CLEAR_MM, y1 + CLEAR_MM)
                found.append((round(grown[0], 4), round(grown[1], 4), round(grown[2], 4), round(grown[3], 4)))
    return found


def kept_ways(tables: PartTables) -> Iterator[Rect]:
    """Screwdrivers' ways and what else is kept free and is neither post nor moving part."""
    for name, held in tables.keep_outs.each.items():
        if held.what not in ("post", "moving part"):
            thing = keep_out(name, held)
            (x0, y0, _), (x1, y1, _) = thing.low[0], thing.high[0]
            yield float(x0), float(x1), float(y0), float(y1)
