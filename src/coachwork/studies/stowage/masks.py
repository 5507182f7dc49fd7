"""At which places one box may be, by itself, among all that stays: a mask over the places of its lower corner."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from coachwork.build.sections.boxes import Face
from coachwork.studies.stowage.problem import FINE, Item, Pose, Problem, Surface, Triple

Mask = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class Fixed:
    """A block, or a box that stays."""

    name: str
    low: Triple
    high: Triple
    gap: int = 0
    way: bool = True  # whether it can be in a hand's or a pack's way
    room: Mapping[Face, int] = field(default_factory=dict)


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
    for surface in problem.surfaces:
        if surface.name in item.surfaces:
            for pose in item.poses:
                if pose.usual:
                    yield _mask(problem, item, pose, surface, fixed)


def _mask(problem: Problem, item: Item, pose: Pose, surface: Surface, fixed: list[Fixed]) -> Mask:
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
    for thing in fixed:
        _block(mask, problem, item, pose, (x, y, z), thing)
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


def _block(mask: Mask, problem: Problem, item: Item, pose: Pose, at: tuple[NDArray[np.int64], NDArray[np.int64], int],
           thing: Fixed) -> None:  # fmt: skip
    """Take out of a mask where the box is neither beside nor above nor below a thing with the air that is asked for,
    or in the way of one of its faces or of its way out.

    Each side hangs on one coordinate alone, so what is taken out is a rectangle of places for each way.
    """
    aparts = [a.gap for a in problem.aparts if {a.one, a.two} == {item.name, thing.name}]
    opposite: dict[Face, Face] = {"front": "rear", "rear": "front", "left": "right", "right": "left",
                                  "top": "bottom", "bottom": "top"}  # fmt: skip
    sides: dict[Face, tuple[int, Mask]] = {}  # {side: (axis, where along it the box is clear to that side)}
    for side, axis, sense in (
        ("front", 0, 1), ("rear", 0, -1), ("left", 1, 1), ("right", 1, -1), ("top", 2, 1), ("bottom", 2, -1),
    ):  # fmt: skip
        need = max([0 if axis == 2 else thing.gap, pose.room.get(side, 0), thing.room.get(opposite[side], 0), *aparts])  # type: ignore[call-overload,index]
        low = np.atleast_1d(at[axis])
        clear = low + pose.size[axis] + need <= thing.low[axis] if sense > 0 else thing.high[axis] + need <= low
        sides[side] = (axis, clear)  # type: ignore[index]
    excluded: dict[Face | None, None] = {None: None}
    if thing.way:
        excluded |= dict.fromkeys([*pose.sides.values(), *(["bottom"] if item.out else [])])  # type: ignore[list-item]
    for without in excluded:
        x, y, z = (np.zeros(np.size(along), dtype=bool) for along in at)
        for side, (axis, clear) in sides.items():
            if side != without:
                (x, y, z)[axis][...] |= clear
        if not z[0]:
            mask[np.ix_(~x, ~y)] = False
