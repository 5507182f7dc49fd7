"""A quick look without a solver: has each box a place by itself, among all that stays where it is?

Every demand on one box and fixed things is a mask over the places of its lower corner. No place: proven impossible, and
the demands that clash are found by giving them up one by one. A place for each box alone proves nothing; that is the
constraint programme's question.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial

from coachwork.studies.stowage.masks import masks
from coachwork.studies.stowage.problem import FINE, Item, Problem, Surface
from coachwork.studies.stowage.solve import MOST_EXTRA_MM, NOT_BY_HOW_MUCH, Clash, Way, smallest, towards


def clash_at_a_glance(problem: Problem) -> Clash | None:
    """The clash of the first box that has no place by itself; None where each has one."""
    for item in problem.items:
        alone = _alone(problem, item)
        if alone is None or _any(alone, item.name):
            continue
        core, _ = smallest(list(alone.demands()), partial(_holds, alone, name=item.name))
        found = (_least_extra(alone, demand, item.name) for demand in core)
        ways = tuple(
            way for way in found
            if way.extra is not None or _holds(alone, [d for d in alone.demands() if d != way.demand], name=item.name)
        )  # fmt: skip
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


# The order in which `_eased` moves a thing.
_SHIFTS = ((1, 0), (-1, 0), (0, 1), (0, -1))


def _least_extra(problem: Problem, demand: str, name: str) -> Way:
    kind = demand.split(" ")[0]
    if kind in NOT_BY_HOW_MUCH:
        return Way(demand=demand, extra=None)
    most = int(MOST_EXTRA_MM / problem.step_mm)
    if kind in ("keep-out", "part", "keep"):  # a shift further is not always better: the first that does
        for by in range(1, most + 1):
            for eased, shift in zip(_eased(problem, demand, by), _SHIFTS, strict=True):
                if _any(eased, name):
                    return Way(demand=demand, extra=by, towards=towards(*shift))
        return Way(demand=demand, extra=None)
    if not any(_any(eased, name) for eased in _eased(problem, demand, most)):
        return Way(demand=demand, extra=None)
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if any(_any(e, name) for e in _eased(problem, demand, middle)) else (middle, high)
    return Way(demand=demand, extra=problem.told(demand, high))


def _eased(problem: Problem, demand: str, by: int) -> list[Problem]:
    """The problem with one demand broken by so many steps, each way it can be."""
    kind, _, rest = demand.partition(" ")
    shifts = [(by * dx, by * dy) for dx, dy in _SHIFTS]
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
    if kind in ("keep-out", "part"):
        return [
            _blocks(problem, demand, lambda b, dx=dx, dy=dy: replace(
                b, low=(b.low[0] + dx, b.low[1] + dy, b.low[2]), high=(b.high[0] + dx, b.high[1] + dy, b.high[2])
            ))
            for dx, dy in shifts
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
        bays=tuple(
            (a + by, b - by, c + by, d - by) for a, b, c, d in surface.bays if b - a > 2 * by and d - c > 2 * by
        ),
        bounds=(x0 - by, x1 + by, y0 - by, y1 + by),
    )


def _any(problem: Problem, name: str) -> bool:
    return any(mask.any() for mask in masks(problem, name))
