"""How short all leads can be at best: a bound that knows that a deck's every square has room for one box only.

Boxes that crowd round one receiver keep each other away from it; constraints on pairs of boxes say little about that
until nearly all is decided. Here each square of a deck gets a price instead, and each box looks by itself for the place
that costs it least, lead and price together; the prices of all squares are taken off the sum again. Whatever the
prices are, no placement costs less (Lagrangian duality); they are raised where boxes crowd and lowered where nobody
stands, by subgradient steps with Polyak's length (Held, Wolfe and Crowder 1974; from memory). Leads between two boxes
that both move, and moments, are shared out between their boxes by prices of the same kind.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coachwork.studies.stowage.masks import masks
from coachwork.studies.stowage.problem import FINE, SCALE, Item, Pose, Problem, Tie
from coachwork.studies.watch import UNWATCHED, Watch

Numbers = NDArray[np.float64]
CELLS = 1600  # squares of one price over all decks, about: finer ones gain less than one part in a hundred
ROUNDS = 500  # by then the bound hardly rises any more
PATIENCE = 12  # rounds without a better bound before steps are shortened
SHORTER = 0.75
MEMORY = 0.6  # how much of the last step goes on: prices swing less
LEAN = 0.05  # how much slower the prices of leads and moments move than those of squares; found by trial


@dataclass(frozen=True, kw_only=True)
class Bound:
    """No placement costs less than `cost`, in 1 / SCALE of a step of lead; None where one was not looked for.

    leads : {box: for each of its poses, what its leads to boxes that stay cost at least}; infinite: it fits nowhere so
    """

    cost: float | None
    leads: Mapping[str, tuple[float, ...]]


@dataclass(frozen=True, eq=False, kw_only=True)
class _Stand:
    """One pose of a box on one deck.

    cost : (nx, ny), of its leads to what stays, by its lower corner; infinite where it cannot be
    """

    deck: int
    pose: Pose
    pose_number: int
    cost: Numbers
    x: Numbers  # (nx,), steps
    y: Numbers


@dataclass(eq=False, kw_only=True)
class _Prices:
    """square: one array a deck; shared: (leads, 2), within one; moment: one a pull, within one."""

    square: list[Numbers]
    shared: Numbers
    moment: Numbers

    def copy(self) -> _Prices:
        return _Prices(square=[s.copy() for s in self.square], shared=self.shared.copy(), moment=self.moment.copy())


def bound(problem: Problem, *, good: float, rounds: int = ROUNDS, watch: Watch = UNWATCHED) -> Bound:
    """What no placement can cost less than.

    good : cost of a placement that is known; sets the length of the steps, not what is true
    """
    return _Bounding(problem).run(good=good, rounds=rounds, watch=watch)


class _Bounding:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.moving = [item for item in problem.items if item.fixed is None]
        names = {item.name for item in self.moving}
        self.stands = {item.name: list(_stands(problem, item)) for item in self.moving}
        self.shared = [tie for tie in problem.ties if {tie.begins[0], tie.ends[0]} <= names]
        staying = [tie for tie in problem.ties if not {tie.begins[0], tie.ends[0]} & names]
        self.sure = sum(SCALE / FINE * tie.weight * _way(problem, tie) for tie in staying)
        self.moments = np.array([
            pull.rest + sum(
                item.mass_g * (2 * item.fixed[0][pull.axis] + item.poses[item.fixed[1]].size[pull.axis])
                for item in problem.items if item.fixed is not None
            )
            for pull in problem.pulls
        ], dtype=float)  # fmt: skip
        gap = problem.gap
        self.sizes = [(d.bounds[1] - d.bounds[0] + gap, d.bounds[3] - d.bounds[2] + gap) for d in problem.surfaces]
        self.cell = max(1, round((sum(a * b for a, b in self.sizes) / CELLS) ** 0.5))
        self.rooms = [np.outer(_widths(a, self.cell), _widths(b, self.cell)) for a, b in self.sizes]

    @property
    def tells(self) -> bool:
        """Whether boxes only stand side by side on decks whose rims are kept: else squares take more than one."""
        return all(deck.edges for deck in self.problem.surfaces) and all(
            self.problem.is_deck(surface) for item in self.moving for surface in item.surfaces
        )

    def run(self, *, good: float, rounds: int, watch: Watch) -> Bound:
        if not self.moving or not self.tells:
            return Bound(cost=None, leads={})
        leads = {name: self._least_leads(name) for name in self.stands}
        if any(not np.isfinite(each).any() for each in leads.values()):
            return Bound(cost=None, leads={})  # a box has no place at all: not for a bound to tell
        prices = _Prices(
            square=[np.zeros_like(room) for room in self.rooms],
            shared=np.zeros((len(self.shared), 2)),
            moment=np.zeros(len(self.problem.pulls)),
        )
        best, at, step, since = -np.inf, prices.copy(), 1.0, 0
        last: _Prices | None = None
        for done in range(rounds):
            if watch.cancelled():
                break
            if done % 50 == 0:
                watch.tell(f"how good it can be: {100 * done // rounds} %")
            cost, rise = self._cheapest(prices)
            if cost > best:
                best, at, since = cost, prices.copy(), 0
            else:
                since += 1
            if since >= PATIENCE:
                step, since, prices, last = step * SHORTER, 0, at.copy(), None
                continue
            if step < 0.01 or cost >= good:
                break
            last = rise if last is None else self._added(rise, last, MEMORY)
            self._move(prices, rise, last, step * (good - cost))
        return Bound(cost=max(0.0, best), leads=leads)

    def _least_leads(self, name: str) -> tuple[float, ...]:
        poses = self.problem.item(name).poses
        least = [np.inf] * len(poses)
        for stand in self.stands[name]:
            least[stand.pose_number] = min(least[stand.pose_number], float(stand.cost.min()))
        return tuple(least)

    def _cheapest(self, prices: _Prices) -> tuple[float, _Prices]:
        """The sum of all boxes' cheapest places at these prices, and how it rises with each price."""
        cell, gap, pulls = self.cell, self.problem.gap, self.problem.pulls
        worth = np.array([pull.worth for pull in pulls], dtype=float)
        cost = self.sure - sum(float((p * r).sum()) for p, r in zip(prices.square, self.rooms, strict=True))
        cost += float((worth * prices.moment * self.moments).sum())
        sums = [_summed(p, cell, size) for p, size in zip(prices.square, self.sizes, strict=True)]
        taken = [np.zeros((a + 1, b + 1)) for a, b in self.sizes]
        ways, moments = np.zeros_like(prices.shared), self.moments.copy()
        for item in self.moving:
            best: tuple[float, _Stand, int, int] | None = None
            for stand in self.stands[item.name]:
                along, across = (size + gap for size in stand.pose.size[:2])
                nx, ny = stand.cost.shape
                whole = sums[stand.deck]
                priced = whole[along : along + nx, across : across + ny] - whole[:nx, across : across + ny]
                priced += whole[:nx, :ny] - whole[along : along + nx, :ny]
                lean_x, lean_y, off = self._leaning(item, stand.pose, prices)
                priced += stand.cost + (lean_x * stand.x)[:, None] + (lean_y * stand.y)[None, :]
                where = int(priced.argmin())
                if best is None or priced.flat[where] + off < best[0]:
                    best = float(priced.flat[where] + off), stand, where // ny, where % ny
            assert best is not None
            spent, stand, i, j = best
            cost += spent
            along, across = (size + gap for size in stand.pose.size[:2])
            for at_x, at_y, sign in ((i, j, 1), (i + along, j, -1), (i, j + across, -1), (i + along, j + across, 1)):
                taken[stand.deck][at_x, at_y] += sign
            corner = float(stand.x[i]), float(stand.y[j])
            for k, tie in enumerate(self.shared):
                for end, sign in ((tie.begins, 1), (tie.ends, -1)):
                    if end[0] == item.name:
                        exit = stand.pose.exits[end[1]]
                        ways[k] += [sign * (FINE * corner[a] + exit[a]) for a in range(2)]
            for k, pull in enumerate(pulls):
                moments[k] += item.mass_g * (2 * corner[pull.axis] + stand.pose.size[pull.axis])
        crowds = [_by_cell(t.cumsum(axis=0).cumsum(axis=1)[:-1, :-1], cell) for t in taken]
        crowded = [crowd - room for crowd, room in zip(crowds, self.rooms, strict=True)]
        each = np.array([[SCALE / FINE * tie.weight] for tie in self.shared]).reshape(-1, 1)
        return cost, _Prices(square=crowded, shared=ways * each, moment=moments * worth)

    def _leaning(self, item: Item, pose: Pose, prices: _Prices) -> tuple[float, float, float]:
        """What a step along and a step across costs by shared leads and moments, and what the pose costs by them."""
        lean, off = [0.0, 0.0], 0.0
        for k, tie in enumerate(self.shared):
            for end, sign in ((tie.begins, 1), (tie.ends, -1)):
                if end[0] == item.name:
                    for a in range(2):
                        each = sign * SCALE / FINE * tie.weight * float(prices.shared[k, a])
                        lean[a] += FINE * each
                        off += each * pose.exits[end[1]][a]
        for k, pull in enumerate(self.problem.pulls):
            each = pull.worth * float(prices.moment[k]) * item.mass_g
            lean[pull.axis] += 2 * each
            off += each * pose.size[pull.axis]
        return lean[0], lean[1], off

    @staticmethod
    def _added(new: _Prices, old: _Prices, share: float) -> _Prices:
        return _Prices(
            square=[a + share * b for a, b in zip(new.square, old.square, strict=True)],
            shared=new.shared + share * old.shared,
            moment=new.moment + share * old.moment,
        )

    @staticmethod
    def _move(prices: _Prices, rise: _Prices, along: _Prices, missing: float) -> None:
        """One step. A square's price is of the size of SCALE / FINE, those of leads and moments are at most one."""
        unit = SCALE / FINE
        steep = sum(float(((unit * r) ** 2).sum()) for r in rise.square)
        steep += float(((LEAN * rise.shared) ** 2).sum()) + float(((LEAN * rise.moment) ** 2).sum())
        if steep == 0:
            return
        length = missing / steep
        for price, way in zip(prices.square, along.square, strict=True):
            np.maximum(0.0, price + length * unit**2 * way, out=price)
        prices.shared = np.clip(prices.shared + length * LEAN**2 * along.shared, -1.0, 1.0)
        prices.moment = np.clip(prices.moment + length * LEAN**2 * along.moment, -1.0, 1.0)


def _stands(problem: Problem, item: Item) -> Iterator[_Stand]:
    decks = {deck.name: k for k, deck in enumerate(problem.surfaces)}
    kinds = [
        (deck, number, pose)
        for deck in problem.surfaces if deck.name in item.surfaces
        for number, pose in enumerate(item.poses) if pose.usual
    ]  # fmt: skip
    for (deck, number, pose), mask in zip(kinds, masks(problem, item.name), strict=True):
        x0, x1, y0, y1 = deck.bounds
        nx, ny = x1 - x0 - pose.size[0] + 1, y1 - y0 - pose.size[1] + 1
        if nx < 1 or ny < 1 or not mask[:nx, :ny].any():
            continue
        x, y = np.arange(x0, x0 + nx, dtype=float), np.arange(y0, y0 + ny, dtype=float)
        cost = np.where(mask[:nx, :ny], 0.0, np.inf)
        for tie in problem.ties:
            for own, other in ((tie.begins, tie.ends), (tie.ends, tie.begins)):
                if own[0] == item.name and (held := problem.item(other[0])).fixed is not None:
                    to, exit = _at(held, other[1]), pose.exits[own[1]]
                    way = np.abs(FINE * x + exit[0] - to[0])[:, None] + np.abs(FINE * y + exit[1] - to[1])[None, :]
                    cost += SCALE / FINE * tie.weight * (way + abs(FINE * deck.level + exit[2] - to[2]))
        yield _Stand(deck=decks[deck.name], pose=pose, pose_number=number, cost=cost, x=x, y=y)


def _at(item: Item, exit: str) -> tuple[int, ...]:
    """An exit of a box that stays, in parts of a step."""
    assert item.fixed is not None
    corner, pose = item.fixed
    return tuple(FINE * corner[a] + item.poses[pose].exits[exit][a] for a in range(3))


def _way(problem: Problem, tie: Tie) -> int:
    one, two = (_at(problem.item(end[0]), end[1]) for end in (tie.begins, tie.ends))
    return sum(abs(a - b) for a, b in zip(one, two, strict=True))


def _widths(size: int, cell: int) -> Numbers:
    return np.array([high - low for low, high in pairwise([*range(0, size, cell), size])], dtype=float)


def _summed(prices: Numbers, cell: int, size: tuple[int, int]) -> Numbers:
    """Prices of all steps from the corner to each step, (nx + 1, ny + 1): four of them are the price of a rectangle."""
    fine = np.repeat(np.repeat(prices, cell, axis=0), cell, axis=1)[: size[0], : size[1]]
    whole = np.zeros((size[0] + 1, size[1] + 1))
    whole[1:, 1:] = fine.cumsum(axis=0).cumsum(axis=1)
    return whole


def _by_cell(steps: Numbers, cell: int) -> Numbers:
    along = np.add.reduceat(steps, np.arange(0, steps.shape[0], cell), axis=0)
    return np.asarray(np.add.reduceat(along, np.arange(0, steps.shape[1], cell), axis=1))
