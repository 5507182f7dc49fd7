"""A quick look without a solver: has each box a place by itself, among all that stays where it is?

Every demand on one box and fixed things is a mask over the places of its lower corner. No place: proven impossible, and
the demands that clash are found by giving them up one by one. A place for each box alone proves nothing; that is the
constraint programme's question.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from coachwork.build.sections.boxes import Face
from coachwork.studies.stowage.problem import FAR, FINE, Item, Pose, Problem, Surface, Triple
from coachwork.studies.stowage.solve import MOST_EXTRA_MM, Clash, Way, smallest

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


def clash_at_a_glance(problem: Problem) -> Clash | None:
    """The clash of the first box that has no place by itself; None where each has one."""
    for item in problem.items:
        alone = _alone(problem, item)
        if alone is None or _any(alone, item.name):
            continue
        core, _ = smallest(list(alone.demands()), partial(_holds, alone, name=item.name))
        ways = tuple(Way(demand=demand, extra=_least_extra(alone, demand, item.name)) for demand in core)
        return Clash(demands=tuple(core), ways=ways)
    return None


def _alone(problem: Problem, item: Item) -> Problem | None:
    """The box with all that stays; None where it may stand on a box that moves."""
    if item.fixed is not None or any(not problem.is_deck(s) for s in item.surfaces):
        return None
    fixed = {each.name for each in problem.items if each.fixed is not None}
    return problem.only(fixed | {item.name})


def _holds(problem: Problem, kept: Iterable[str], *, name: str) -> bool:
    left = problem.without(set(problem.demands()) - set(kept))
    free = all(item.fixed is not None for item in left.items if item.name != name)
    if not any(item.name == name for item in left.items):
        return True
    # A box that no longer has to stay could go anywhere: out of the way, as far as this look can tell.
    gone = {item.name for item in left.items if item.fixed is None and item.name != name}
    return _any(left if free else left.only({i.name for i in left.items} - gone), name)


def _least_extra(problem: Problem, demand: str, name: str) -> int | None:
    kind = demand.split(" ")[0]
    if kind in ("carry", "stand", "reach", "plate"):
        return None
    most = int(MOST_EXTRA_MM / problem.step_mm)
    if kind in ("keep-out", "keep"):  # a shift further is not always better: the first that does
        return next(
            (t for t in range(1, most + 1) if any(_any(eased, name) for eased in _eased(problem, demand, t))), None
        )
    if not any(_any(eased, name) for eased in _eased(problem, demand, most)):
        return None
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if any(_any(e, name) for e in _eased(problem, demand, middle)) else (middle, high)
    return problem.told(demand, high)


def _eased(problem: Problem, demand: str, by: int) -> list[Problem]:
    """The problem with one demand broken by so many steps, each way it can be."""
    kind, _, rest = demand.partition(" ")
    if kind == "lead":
        return [replace(problem, ties=tuple(
            replace(t, most=t.most + FINE * by) if t.name == rest and t.most is not None else t for t in problem.ties
        ))]  # fmt: skip
    if kind == "apart":
        return [replace(problem, aparts=tuple(
            replace(a, gap=max(0, a.gap - by)) if f"{a.one} {a.two}" == rest else a for a in problem.aparts
        ))]  # fmt: skip
    if kind == "ceiling":
        return [_blocks(problem, demand, lambda b: replace(b, low=(b.low[0], b.low[1], b.low[2] + by)))]
    if kind == "keep-out":
        return [
            _blocks(problem, demand, lambda b, dx=dx, dy=dy: replace(
                b, low=(b.low[0] + dx, b.low[1] + dy, b.low[2]), high=(b.high[0] + dx, b.high[1] + dy, b.high[2])
            ))
            for dx, dy in ((by, 0), (-by, 0), (0, by), (0, -by))
        ]  # fmt: skip
    if kind == "outline":
        return [replace(problem, surfaces=tuple(_wider(s, by) if s.name == rest else s for s in problem.surfaces))]
    if kind == "out":
        return [replace(problem, surfaces=tuple(
            replace(s, doors=tuple((a - by, b + by, c - by, d + by) for a, b, c, d in s.doors))
            for s in problem.surfaces
        ))]  # fmt: skip
    if kind == "room":
        return [replace(problem, items=tuple(
            replace(i, poses=tuple(
                replace(p, room={f: max(0, r - by) for f, r in p.room.items()}) for p in i.poses
            )) if i.name == rest else i for i in problem.items
        ))]  # fmt: skip
    if kind == "keep":
        shifts = ((by, 0), (-by, 0), (0, by), (0, -by))
        return [replace(problem, items=tuple(
            replace(i, fixed=((i.fixed[0][0] + dx, i.fixed[0][1] + dy, i.fixed[0][2]), i.fixed[1]))
            if i.name == rest and i.fixed is not None else i for i in problem.items
        )) for dx, dy in shifts]  # fmt: skip
    return []


def _blocks(problem: Problem, demand: str, change) -> Problem:  # type: ignore[no-untyped-def]
    return replace(problem, blocks=tuple(change(b) if b.demand == demand else b for b in problem.blocks))


def _wider(surface: Surface, by: int) -> Surface:
    x0, x1, y0, y1 = surface.bounds
    return replace(
        surface,
        edges=tuple((a, b, c + round((a * a + b * b) ** 0.5) * by) for a, b, c in surface.edges),
        bounds=(x0 - by, x1 + by, y0 - by, y1 + by),
    )


def _any(problem: Problem, name: str) -> bool:
    return any(mask.any() for mask in masks(problem, name))


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
    bays = [Fixed(name="", low=(a, c, -FAR), high=(b, d, FAR), way=False) for a, b, c, d in surface.bays]
    for thing in [*fixed, *bays]:
        mask &= _clear(problem, item, pose, (x, y, z), thing)
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


def _clear(problem: Problem, item: Item, pose: Pose, at: tuple[NDArray[np.int64], NDArray[np.int64], int],
           thing: Fixed) -> Mask:  # fmt: skip
    """Beside, above or below it, with the air that is asked for; and not in the way of a face or of the way out."""
    x, y, z = at
    aparts = [a.gap for a in problem.aparts if {a.one, a.two} == {item.name, thing.name}]
    opposite: dict[Face, Face] = {"front": "rear", "rear": "front", "left": "right", "right": "left",
                                  "top": "bottom", "bottom": "top"}  # fmt: skip
    sides: dict[Face, Mask] = {}
    for side, axis, sense in (
        ("front", 0, 1), ("rear", 0, -1), ("left", 1, 1), ("right", 1, -1), ("top", 2, 1), ("bottom", 2, -1),
    ):  # fmt: skip
        need = max([0 if axis == 2 else thing.gap, pose.room.get(side, 0), thing.room.get(opposite[side], 0), *aparts])  # type: ignore[call-overload,index]
        low = (x[:, None], y[None, :], np.full((1, 1), z))[axis]
        sides[side] = (  # type: ignore[index]
            low + pose.size[axis] + need <= thing.low[axis] if sense > 0 else thing.high[axis] + need <= low
        )
    excluded: list[Face | None] = [None]
    if thing.way:
        excluded += [*pose.sides.values(), *(["bottom"] if item.out else [])]  # type: ignore[list-item]
    clear = np.ones((len(x), len(y)), dtype=bool)
    for without in excluded:
        one = np.zeros((len(x), len(y)), dtype=bool)
        for side, mask in sides.items():
            if side != without:
                one = one | mask
        clear &= one
    return clear
