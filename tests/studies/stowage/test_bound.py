"""The bound that room gives: never above what a placement costs, and not far below where boxes crowd."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from coachwork.studies.stowage import solve
from coachwork.studies.stowage.bound import Bound, bound
from coachwork.studies.stowage.problem import FINE, SCALE, Item, Pose, Problem, Pull, Surface, Tie
from coachwork.studies.stowage.solve import Limits, fits, improve
from coachwork.studies.stowage.turns import Turn


def square_deck(width: int, height: int) -> Surface:
    edges = ((1, 0, width), (-1, 0, 0), (0, 1, height), (0, -1, 0))
    return Surface(name="deck", level=0, edges=edges, bounds=(0, width, 0, height))


def box(name, a, b, **more) -> Item:
    """Lying as it is or turned by a quarter, its lead leaving in the middle of one side."""
    poses = (
        Pose(turn=Turn("bottom", None), size=(a, b, 5), exits={"out": (FINE * a, FINE * b // 2, 0)}),
        Pose(turn=Turn("bottom", "left"), size=(b, a, 5), exits={"out": (FINE * b // 2, FINE * a, 0)}),
    )
    return Item(name=name, poses=poses, surfaces=("deck",), **more)


def tie(one: str, two: str, weight: int = 1) -> Tie:
    return Tie(name=f"{one} {two}", begins=(one, "out"), ends=(two, "out"), most=None, weight=weight)


def crowd(seed: int) -> Problem:
    """Boxes of all sizes round one that stays, two of them tied to each other, too; weight to one side costs."""
    rng = np.random.default_rng(seed)
    items = [box("hub", 6, 4, fixed=((8, 0, 0), 0), mass_g=10)]
    items += [box(f"b{k}", *map(int, rng.integers(3, 8, 2)), mass_g=int(rng.integers(5, 30))) for k in range(4)]
    ties = [*(tie(f"b{k}", "hub", int(rng.integers(1, 4))) for k in range(3)), tie("b3", "b2")]
    pulls = (Pull(axis=1, worth=30, rest=-900), Pull(axis=0, worth=10, rest=-1200))
    return Problem(
        items=tuple(items), surfaces=(square_deck(26, 18),), ties=tuple(ties), gap=int(seed) % 2, pulls=pulls
    )


def proven(problem: Problem, monkeypatch) -> float:
    """The least cost, found without the bound."""
    with monkeypatch.context() as patched:
        patched.setattr(solve, "bound", lambda *_, **__: Bound(cost=None, leads={}))
        best = improve(problem, fits(problem, 10), Limits(improve=60, workers=8))
    assert best.gap == 0
    return best.cost


@pytest.mark.parametrize("seed", range(6))
def test_nothing_costs_less_than_the_bound_and_it_is_not_idle(monkeypatch, seed):
    problem = crowd(seed)
    least = proven(problem, monkeypatch)

    # What `good` is only sets the length of the steps: a wrong one must not make a wrong bound.
    bounds = [bound(problem, good=factor * least).cost for factor in (1.0, 0.8, 3.0)]

    assert max(bounds) <= least * (1 + 1e-9)
    assert bounds[0] > 0.6 * least, "a bound of next to nothing would be no help"


@pytest.mark.parametrize("seed", range(3))
def test_with_the_bound_the_same_best_is_proven(monkeypatch, seed):
    problem = crowd(seed)

    best = improve(problem, fits(problem, 10), Limits(improve=60, workers=8))

    assert best.gap == 0
    assert best.cost == pytest.approx(proven(problem, monkeypatch))


def test_two_boxes_at_one_exit_cost_what_trying_every_place_says():
    """By hand, in plain loops: all places of two boxes beside a third that stays."""
    problem = Problem(
        items=(box("hub", 4, 4, fixed=((0, 0, 0), 0)), box("a", 4, 3), box("b", 3, 5)),
        surfaces=(square_deck(13, 9),),
        ties=(tie("a", "hub"), tie("b", "hub")),
    )
    least = np.inf
    one, two = problem.item("a"), problem.item("b")
    taken = np.zeros((13, 9), dtype=bool)
    taken[:4, :4] = True

    def spots(item, taken):
        for pose in item.poses:
            for x, y in product(range(13 - pose.size[0] + 1), range(9 - pose.size[1] + 1)):
                here = slice(x, x + pose.size[0]), slice(y, y + pose.size[1])
                if not taken[here].any():
                    exit = pose.exits["out"]
                    way = abs(FINE * x + exit[0] - 40) + abs(FINE * y + exit[1] - 20)
                    yield here, way

    for here, way in spots(one, taken):
        with_one = taken.copy()
        with_one[here] = True
        least = min(least, min((way + other for _, other in spots(two, with_one)), default=np.inf))

    known = bound(problem, good=least * SCALE / FINE)
    assert known.cost <= least * SCALE / FINE * (1 + 1e-9)
    assert improve(problem, fits(problem, 5), Limits(improve=20)).cost == pytest.approx(least * SCALE / FINE)
    for name in ("a", "b"):
        for pose, cost in zip(problem.item(name).poses, known.leads[name], strict=True):
            alone = min(way for _, way in spots(replace(problem.item(name), poses=(pose,)), taken))
            assert cost == pytest.approx(alone * SCALE / FINE)


def test_where_boxes_may_stand_on_boxes_squares_say_nothing():
    problem = crowd(0)
    stacked = replace(problem, items=(*problem.items[:-1], replace(problem.items[-1], surfaces=("deck", "b0"))))

    assert bound(stacked, good=1e6).cost is None
