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
TOUCHES_MM = 1e-6  # a screw that lies against a box is not in it


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
    length = hole.screw_mm
    found = {name: (_room(hole, length, *at), PACK_ROOM_MM if name == PACK else 0.0) for name, at in boxes.items()}
    box = min(found, key=lambda name: found[name][0] - found[name][1])
    room, limit = found[box]
    fits = length if room >= limit else _longest(hole, length, limit, *boxes[box])
    x, y, z = (round(float(v), 3) for v in np.array(hole.at_mm) + length * np.array(hole.axis))
    return ScrewTip(hole=hole.name, box=box, room_mm=room, limit_mm=limit, screw_mm=length, fits_mm=fits,
                    tip_mm=(x, y, z))  # fmt: skip


def _longest(hole: HoleSpec, length: float, limit: float, low: Numbers, high: Numbers) -> float:
    """The longest screw that has the room; 0 for one shorter than thick. Longer has less room: halving finds it."""
    fits, too_long = 0.0, length
    while too_long - fits > 1e-8:
        middle = (fits + too_long) / 2
        fits, too_long = (middle, too_long) if _room(hole, middle, low, high) >= limit else (fits, middle)
    return fits if fits > 2 * _radius(hole) else 0.0


def _radius(hole: HoleSpec) -> float:
    return (SCREWS[hole.screw].diameter_mm if hole.screw in SCREWS else hole.diameter_mm) / 2


def _room(hole: HoleSpec, length: float, low: Numbers, high: Numbers) -> float:
    """From a screw of a length to a box; into it, less than nothing: how far it would have to move to be out.

    The screw is a cylinder with a flat end, taken as lines along it: its axis, half way out, and its thread's outside.
    Where a line enters and leaves the box is exact; between the lines round the outside, 0.01 mm of an M3 are lost.
    """
    axis, radius = np.array(hole.axis), _radius(hole)
    starts = np.array(hole.at_mm) + radius * _disc(axis)
    with np.errstate(divide="ignore", invalid="ignore"):  # a line along the box's faces never meets two of them
        one, other = (low - starts) / axis, (high - starts) / axis
    level = np.abs(axis) < 1e-9
    beside = (level & ((starts <= low) | (starts >= high))).any(axis=1)
    enters = np.maximum(np.where(level, -np.inf, np.minimum(one, other)).max(axis=1), 0.0)
    leaves = np.minimum(np.where(level, np.inf, np.maximum(one, other)).min(axis=1), length)
    points = starts[:, None, :] + np.linspace(0, length, STEPS)[:, None] * axis
    if (~beside & (leaves - enters > TOUCHES_MM)).any():  # out again by the face that is nearest
        return -float(np.minimum(high - points.min(axis=(0, 1)), points.max(axis=(0, 1)) - low).min())
    return float(np.linalg.norm(np.maximum(np.maximum(low - points, points - high), 0.0), axis=-1).min())


def _disc(axis: Numbers) -> Numbers:
    """(49, 3): the middle of a disc of radius 1 across an axis, 24 points half way out, 24 on its rim."""
    across = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
    across /= np.linalg.norm(across)
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)[:, None]
    rim = np.cos(turn) * across + np.sin(turn) * np.cross(axis, across)
    return np.concatenate([np.zeros((1, 3)), rim / 2, rim])
