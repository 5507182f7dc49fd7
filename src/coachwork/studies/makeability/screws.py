"""Screws of known length against the boxes in their places: a screw in a lithium pack is a fire."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from coachwork.build import Numbers, require
from coachwork.catalogue.screws import SCREWS
from coachwork.studies.makeability.result import ScrewTip
from coachwork.studies.makeability.specs.chassis.stowed import PACK
from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Missing, Part, attempt, is_missing
from coachwork.studies.stowage.placed import placed, size_of

PACK_ROOM_MM = 1.0  # between any screw and a pack; safety rule, common practice, no source
STEPS = 41


def screw_tips(tables: PartTables, part: str, holes: tuple[HoleSpec, ...]) -> dict[str, Part[ScrewTip]]:
    """Of every hole whose screw's length is known, the box it comes nearest to or goes deepest into."""
    found = dict(box_places(tables))
    if missing := tuple(key for each in found.values() if isinstance(each, Missing) for key in each.keys):
        return {f"{part}.{hole.name}": Missing(missing) for hole in holes if hole.screw_mm is not None}
    boxes = {name: each for name, each in found.items() if not is_missing(each)}
    return {f"{part}.{hole.name}": _nearest(hole, boxes) for hole in holes if hole.screw_mm is not None and boxes}


def box_places(tables: PartTables) -> Iterator[tuple[str, Part[tuple[Numbers, Numbers]]]]:
    """(name, (low, high)) of every box: where it is placed, else round where [masses] has it; others are left out."""
    for name in tables.boxes.each:
        here = attempt(placed, name, tables.placing)
        if not is_missing(here):
            yield name, (here.low[0], here.high[0])
        elif isinstance(here, Missing):
            yield name, here
        elif name in tables.masses.each and tables.masses.each[name].at.known:
            yield name, attempt(_about, tables, name)


def _about(tables: PartTables, name: str) -> tuple[Numbers, Numbers]:
    require(tables.masses.each[name].at)
    middle, half = tables.masses.each[name].at.mm[0], size_of(tables.boxes.each[name])[0] / 2
    return middle - half, middle + half


def _nearest(hole: HoleSpec, boxes: Mapping[str, tuple[Numbers, Numbers]]) -> ScrewTip:
    assert hole.screw_mm is not None
    radius = SCREWS[hole.screw].diameter_mm / 2 if hole.screw in SCREWS else hole.diameter_mm / 2
    start, axis = np.array(hole.at_mm), np.array(hole.axis)
    tip = start + hole.screw_mm * axis
    line = start + np.linspace(0, hole.screw_mm, STEPS)[:, None] * axis
    best: tuple[float, float, str] | None = None
    for name, (low, high) in boxes.items():
        outside = np.maximum(np.maximum(low - line, line - high), 0.0)
        far = float(np.linalg.norm(outside, axis=1).min())
        if far == 0.0:  # into it: how far the tip would have to be drawn back
            inside = np.all((line > low) & (line < high), axis=1)
            first = int(np.argmax(inside))
            room = -hole.screw_mm * (STEPS - 1 - first) / (STEPS - 1)
        else:
            room = far - radius
        limit = PACK_ROOM_MM if name == PACK else 0.0
        if best is None or room - limit < best[0] - best[1]:
            best = (room, limit, name)
    assert best is not None
    x, y, z = (round(float(v), 3) for v in tip)
    return ScrewTip(hole=hole.name, box=best[2], room_mm=best[0], limit_mm=best[1], screw_mm=hole.screw_mm,
                    tip_mm=(x, y, z))  # fmt: skip
