"""Ribs, boxed sides and coaming on a plain deck: they stand where nothing else does."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from coachwork.studies.makeability.specs.stiffening import Box, Coaming, Floor, Neck, Rect, boxed_sides, free, ribs
from coachwork.studies.stowage.outline import Outline

DECK = Outline(np.array([[-200.0, -60.0], [-50.0, -60.0], [-50.0, 60.0], [-200.0, 60.0]]))
BAY = Coaming(opening=(-180.0, -80.0, 0.0, 48.0), ends_off_mm=4.0, thick_mm=2.0, height_mm=20.0)
FRONT = Neck(way=1.0, begins=-50.0, shoulder=-32.0, ends=-25.0, half_mm=30.0, narrow_mm=19.0, most_mm=10.0)


def floor(*in_way: Rect) -> Floor:
    return Floor(outline=DECK, top_mm=4.0, wall_mm=2.0, wall_height_mm=20.0, in_way=in_way)


def meets(box: Box, rect: Rect) -> bool:
    return box[0] < rect[1] and box[1] > rect[0] and box[2] < rect[3] and box[3] > rect[2]


def test_the_coaming_is_the_inner_wall_where_it_stands_nearer():
    """On the left: a lid only, from the coaming's inner face half a millimetre into the wall. On the right: a wall of
    its own and a lid.
    """
    boxes = list(boxed_sides(floor(), BAY, 9.0))

    left, right = [b for b in boxes if b[3] > 50], [b for b in boxes if b[2] < -50]
    assert left == [(-186.0, -74.0, 48.0, 60.5, 22.0, 24.0)]
    assert sorted(right) == [(-200.0, -50.0, -60.5, -49.0, 22.0, 24.0), (-200.0, -50.0, -51.0, -49.0, 3.5, 24.0)]


def test_a_low_coaming_is_no_inner_wall():
    low = Coaming(opening=BAY.opening, ends_off_mm=4.0, thick_mm=2.0, height_mm=8.0)
    left = [b for b in boxed_sides(floor(), low, 9.0) if b[3] > 50]
    assert len(left) == 2


@pytest.mark.parametrize("box", [(-130.0, -100.0, -58.0, -20.0), (-199.0, -150.0, -59.9, -59.0)])
def test_boxed_sides_give_way(box: Rect):
    assert not any(meets(each, box) for each in boxed_sides(floor(box), BAY, 9.0))


def test_ribs_run_from_the_neck_into_the_deck_as_far_as_the_first_box():
    in_way = (-90.0, -70.0, -40.0, -20.0)
    along = [b for b in ribs(floor(in_way), BAY, (FRONT,), (), 16.0) if b[3] < 0 and b[1] > -60]

    assert along == [(-69.0, -32.0, -30.0, -28.0, 3.5, 14.0)]  # under the bell-crank 10 high, not 16


def test_coaming_ends_go_on_to_the_walls():
    across = [b for b in ribs(floor(), BAY, (), (), 16.0) if b[1] - b[0] == 2.0]
    assert {(b[0], b[2], b[3]) for b in across} == {
        (-186.0, -60.5, -2.0), (-186.0, 50.0, 60.5), (-76.0, -60.5, -2.0), (-76.0, 50.0, 60.5),
    }  # fmt: skip


def test_a_rib_stands_beside_a_cut_out_in_the_neck():
    out = (-48.0, -36.0, 5.0, 70.0)
    beside = [b for b in ribs(floor(), BAY, (FRONT,), (out,), 16.0) if b[3] == 5.0]
    assert beside == [(-73.0, -25.0, 3.0, 5.0, 3.5, 14.0)]
    assert not any(meets(b, out) for b in ribs(floor(), BAY, (FRONT,), (out,), 16.0))


def test_what_is_free_of_a_span_is_in_order_and_long_enough():
    rng = np.random.default_rng(7)
    for _ in range(200):
        taken = [tuple(sorted(rng.uniform(-10, 110, 2))) for _ in range(4)]
        pieces = list(free((0.0, 100.0), taken, 5.0))
        assert all(b - a >= 5.0 and a >= 0 and b <= 100 for a, b in pieces)
        assert all(one[1] <= two[0] for one, two in pairwise(pieces))
        assert not any(a < high and b > low for a, b in pieces for low, high in taken)
