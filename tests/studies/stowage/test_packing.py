"""Packing against published dissections and generated ones: no air at all, so that one step lost would show."""

import numpy as np
import pytest

from coachwork.studies.stowage.solve import Placement, fits

# Dissections into different squares, from memory: order 9 and 10, Z. Moron 1925; order 21, A. J. W. Duijvestijn 1978.
# Their areas add up, which a wrong digit would not.
DISSECTIONS = {
    "order 9, 33 x 32": (33, 32, [18, 15, 14, 10, 9, 8, 7, 4, 1]),
    "order 10, 65 x 47": (65, 47, [25, 24, 23, 22, 19, 17, 11, 6, 5, 3]),
    "order 21, 112 x 112": (
        112, 112, [50, 42, 37, 35, 33, 29, 27, 25, 24, 19, 18, 17, 16, 15, 11, 9, 8, 7, 6, 4, 2]
    ),
}  # fmt: skip


def covered(problem, placement: Placement, width: int, height: int) -> np.ndarray:
    """How many plates lie on each unit square of the deck; counted, not taken from the model."""
    count = np.zeros((width, height), dtype=int)
    for item in problem.items:
        spot = placement.spots[item.name]
        size = item.poses[spot.pose].size
        x, y, _ = spot.corner
        assert min(x, y) >= 0
        assert x + size[0] <= width
        assert y + size[1] <= height
        count[x : x + size[0], y : y + size[1]] += 1
    return count


@pytest.mark.parametrize(("width", "height", "sides"), DISSECTIONS.values(), ids=DISSECTIONS)
def test_a_squared_rectangle_is_packed_exactly(plates_on, width, height, sides):
    assert sum(side**2 for side in sides) == width * height
    problem = plates_on([(side, side) for side in sides], width, height)

    found = fits(problem, 60, workers=4)

    assert isinstance(found, Placement)
    assert (covered(problem, found, width, height) == 1).all()


def test_a_deck_one_step_too_short_is_proven_too_short(plates_on):
    """Moron's nine squares cover 33 x 32 exactly; 33 x 31 has less room than they cover."""
    _, _, sides = DISSECTIONS["order 9, 33 x 32"]

    assert fits(plates_on([(side, side) for side in sides], 33, 31), 30) is False


def guillotine(rng: np.random.Generator, width: int, height: int, cuts: int) -> list[tuple[int, int]]:
    """Plates cut edge to edge out of a deck: they fill it, whatever else they may fit into."""
    plates = [(width, height)]
    while len(plates) <= cuts:
        k = max(range(len(plates)), key=lambda i: plates[i][0] * plates[i][1])
        a, b = plates.pop(k)
        along = a >= b
        cut = int(rng.integers(3, (a if along else b) - 2))
        plates += [(cut, b), (a - cut, b)] if along else [(a, cut), (a, b - cut)]
    return plates


@pytest.mark.parametrize("seed", range(4))
def test_plates_cut_out_of_a_deck_go_back_onto_it_turned_as_they_may_be(plates_on, seed):
    rng = np.random.default_rng(seed)
    plates = guillotine(rng, 60, 37, 7)
    plates = [(b, a) if rng.random() < 0.5 else (a, b) for a, b in plates]
    problem = plates_on(plates, 60, 37)

    found = fits(problem, 40, workers=8)

    assert isinstance(found, Placement)
    assert (covered(problem, found, 60, 37) == 1).all()


def test_a_plate_that_fits_only_turned_is_refused_where_it_may_not_turn(plates_on):
    assert isinstance(fits(plates_on([(10, 30)], 30, 10), 5), Placement)
    assert fits(plates_on([(10, 30)], 30, 10, turning=False), 5) is False
