"""Fewer corners and never more room, against points thrown at both regions."""

import numpy as np
import pytest
from matplotlib.path import Path  # another hand's point-in-polygon

from coachwork.geometry.shrink import shrunk

ROUNDED = np.concatenate([
    np.array([cx, cy]) + 10 * np.column_stack([np.cos(a), np.sin(a)])
    for cx, cy, a in (
        (50, 20, np.linspace(0, np.pi / 2, 30)), (-50, 20, np.linspace(np.pi / 2, np.pi, 30)),
        (-50, -20, np.linspace(np.pi, 1.5 * np.pi, 30)), (50, -20, np.linspace(1.5 * np.pi, 2 * np.pi, 30)),
    )
])  # fmt: skip
CIRCLE = 8 * np.column_stack([np.cos(t := np.linspace(2 * np.pi, 0, 90, endpoint=False)), np.sin(t)])
HOUSE = np.array([[0.0, 0.0], [40.0, 0.0], [40.0, 10.0], [20.0, 10.0], [20.0, 30.0], [0.0, 30.0]])


def test_no_room_is_added_and_none_lost_further_in_than_the_tolerance():
    outer, hole = shrunk([ROUNDED, CIRCLE], 0.3)

    assert len(outer) < 32
    assert len(hole) < 24
    points = np.random.default_rng(3).uniform([-62, -32], [62, 32], (60_000, 2))
    before, after = (
        Path(rim).contains_points(points) & ~Path(gap).contains_points(points)
        for rim, gap in ((ROUNDED, CIRCLE), (outer, hole))
    )
    assert not (after & ~before).any()
    lost = points[before & ~after]
    assert len(lost) > 10, "else nothing was looked at"
    # The true rims: a rounded rectangle of radius 10, by its own formula, and a circle of radius 8.
    outside = np.maximum(np.abs(lost) - [50, 20], 0)
    flat = np.minimum(*(60 - np.abs(lost[:, 0]), 30 - np.abs(lost[:, 1])))
    from_rim = np.where(outside.all(axis=1), 10 - np.hypot(*outside.T), flat)
    from_hole = np.hypot(*lost.T) - 8
    assert np.minimum(from_rim, from_hole).max() < 0.3 + 0.01  # a chord of the circle stands in for the arc


def test_straight_edges_stay_to_the_last_bit():
    """Points along them go; a hair's breadth of rounding inwards counts as straight."""
    on_edges = np.array([
        [0.0, 0.0], [10.0, 0.001], [25.0, 0.0], [40.0, 0.0], [40.0, 10.0], [20.0, 10.0], [20.0, 12.0], [20.0, 30.0],
        [0.0, 30.0],
    ])  # fmt: skip
    (ring,) = shrunk([on_edges], 0.2)

    assert sorted(map(tuple, ring.tolist())) == sorted(map(tuple, HOUSE.tolist()))


def test_nothing_is_cut_off_where_another_ring_passes():
    """A corner that might go by itself stays when a hole's corner stands in it."""
    blunt = np.array([[0.0, 0.0], [20.0, 0.0], [40.0, -0.15], [60.0, 0.0], [60.0, 30.0], [0.0, 30.0]])
    hole = np.array([[40.0, -0.1], [39.9, 5.0], [40.1, 5.0]])

    alone = shrunk([blunt], 0.2)[0]
    beside = shrunk([blunt, hole], 0.2)[0]

    assert len(alone) == 4
    assert [40.0, -0.15] in beside.tolist()


@pytest.mark.parametrize("tolerance", [0.05, 0.2, 1.0])
def test_a_circle_gets_about_the_corners_that_its_sagitta_asks_for(tolerance):
    """A polygon round a circle of 8 is off by 8 / cos(pi / n) - 8; greedy cutting takes at most twice that n."""
    (ring,) = shrunk([CIRCLE], tolerance)

    least = np.pi / np.arccos(8 / (8 + tolerance))
    assert least - 1 <= len(ring) <= 2 * least + 1
