"""At which places one box may be, by itself, among all that stays: a mask over the places of its lower corner."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from coachwork.build.sections.boxes import Face
from coachwork.studies.stowage.problem import FINE, Item, Pose, Problem, Surface, Triple

Mask = NDArray[np.bool_]


# Along each axis the side that a thing ahead of the box is on, then the one behind.
ALONG: tuple[tuple[Face, Face], ...] = (("front", "rear"), ("left", "right"), ("top", "bottom"))
OPPOSITE: Mapping[Face, Face] = {
    "front": "rear", "rear": "front", "left": "right", "right": "left", "top": "bottom", "bottom": "top",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Fixed:
    """A block, or a box that stays."""

    name: str
    low: Triple
    high: Triple
    gap: int = 0
    way: bool = True  # whether it can be in a hand's or a pack's way
    room: Mapping[Face, int] = field(default_factory=dict)


class _All:
    """The same of many things at once, in arrays (things,) and (things, 3)."""

    def __init__(self, things: list[Fixed]) -> None:
        self.names = [thing.name for thing in things]
        self.low = np.array([thing.low for thing in things], dtype=np.int64).reshape(-1, 3)
        self.high = np.array([thing.high for thing in things], dtype=np.int64).reshape(-1, 3)
        self.gap = np.array([thing.gap for thing in things], dtype=np.int64)
        self.way = np.array([thing.way for thing in things], dtype=bool)
        self.room = {side: np.array([thing.room.get(side, 0) for thing in things], dtype=np.int64) for side in OPPOSITE}


def masks(problem: Problem, name: str) -> Iterable[Mask]:
    """For each pose and deck: at which lower corners the box may be, (x, y) over the deck's bounds."""
    item = problem.item(name)
    fixed = [
        Fixed(name=b.name, low=b.low, high=b.high, way=b.kind == "thing") for b in problem.blocks if b.kind != "plate"
    ]
    for other in problem.items:
        if other.fixed is not None and other.name != name:
            corner, stands = other.fixed
            size = other.poses[stands].size
            high = (corner[0] + size[0], corner[1] + size[1], corner[2] + size[2])
            fixed.append(Fixed(name=other.name, low=corner, high=high, gap=problem.gap, room=other.poses[stands].room))
    things = _All(fixed)
    for surface in problem.surfaces:
        if surface.name in item.surfaces:
            for pose in item.poses:
                if pose.usual:
                    yield _mask(problem, item, pose, surface, things)


def _mask(problem: Problem, item: Item, pose: Pose, surface: Surface, things: _All) -> Mask:
    loose = 0 if surface.edges else 200
    x0, x1, y0, y1 = surface.bounds
    x, y = np.arange(x0 - loose, x1 + loose + 1), np.arange(y0 - loose, y1 + loose + 1)
    z, size = surface.level, pose.size
    mask = np.ones((len(x), len(y)), dtype=bool)
    if any(side not in surface.open_to for side in pose.sides.values()):
        return np.zeros_like(mask)
    for a, b, c in surface.edges:
        far_x = x + (size[0] + pose.room.get("front", 0) if a > 0 else -pose.room.get("rear", 0) if a else 0)
        far_y = y + (size[1] + pose.room.get("left", 0) if b > 0 else -pose.room.get("right", 0) if b else 0)
        mask &= (a * far_x)[:, None] + (b * far_y)[None, :] <= c
    for a, b, c, d in surface.bays:
        mask &= ((x >= b) | (x + size[0] <= a))[:, None] | ((y >= d) | (y + size[1] <= c))[None, :]
    mask &= ~_taken(problem, item, pose, (x, y, z), things)
    if item.out and surface.doors:
        through = np.zeros_like(mask)
        for a, b, c, d in surface.doors:
            through |= ((x >= a) & (x + size[0] <= b))[:, None] & ((y >= c) & (y + size[1] <= d))[None, :]
        mask &= through
    for tie in problem.ties:
        ends = {tie.begins[0]: tie.begins, tie.ends[0]: tie.ends}
        if item.name in ends and tie.most is not None:
            (other_name, exit) = next(end for end in (tie.begins, tie.ends) if end[0] != item.name)
            other = problem.item(other_name)
            if other.fixed is not None:
                corner, k = other.fixed
                to = [FINE * corner[i] + other.poses[k].exits[exit][i] for i in range(3)]
                own = pose.exits[ends[item.name][1]]
                way = np.abs(FINE * x + own[0] - to[0])[:, None] + np.abs(FINE * y + own[1] - to[1])[None, :]
                mask &= way + abs(FINE * z + own[2] - to[2]) <= tie.most
    return mask


def _taken(
    problem: Problem, item: Item, pose: Pose, at: tuple[NDArray[np.int64], NDArray[np.int64], int], things: _All
) -> Mask:
    """Where the box is neither beside nor above nor below one of the things with the air that is asked for, or in the
    way of one of its faces or of its way out.

    Each side hangs on one coordinate alone, so that each thing takes a rectangle of places for each way. Rectangles are
    counted by their corners, and summed.
    """
    asked = {
        ({apart.one, apart.two} - {item.name}).pop(): apart.gap
        for apart in sorted(problem.aparts, key=lambda each: each.gap)
        if item.name in (apart.one, apart.two) and apart.one != apart.two
    }
    apart = np.array([asked.get(name, 0) for name in things.names], dtype=np.int64)
    need = {
        side: np.maximum(apart, np.maximum(pose.room.get(side, 0), things.room[OPPOSITE[side]])) for side in OPPOSITE
    }
    ways: dict[Face | None, None] = {None: None}
    ways |= dict.fromkeys([*pose.sides.values(), *(["bottom"] if item.out else [])])  # type: ignore[list-item]
    x, y, z = at
    edges = np.zeros((len(x) + 1, len(y) + 1), dtype=np.int64)
    for way in ways:
        spans = []
        for axis, first, count in ((0, x[0], len(x)), (1, y[0], len(y)), (2, z, 1)):
            ahead, behind = ALONG[axis]
            gap = 0 if axis == 2 else things.gap
            start = things.low[:, axis] - pose.size[axis] - np.maximum(gap, need[ahead]) + 1 - first
            end = things.high[:, axis] + np.maximum(gap, need[behind]) - first
            spans.append((
                np.zeros_like(start) if way == ahead else np.clip(start, 0, count),
                np.full_like(end, count) if way == behind else np.clip(end, 0, count),
            ))  # fmt: skip
        counts = np.ones(len(things.names), dtype=bool) if way is None else things.way
        counts = counts & np.logical_and.reduce([start < end for start, end in spans])
        (x0, x1), (y0, y1), _ = ((start[counts], end[counts]) for start, end in spans)
        for i, j, one in ((x0, y0, 1), (x1, y0, -1), (x0, y1, -1), (x1, y1, 1)):
            np.add.at(edges, (i, j), one)
    return np.asarray(edges.cumsum(axis=0).cumsum(axis=1)[:-1, :-1] > 0)
