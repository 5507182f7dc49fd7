"""A deck's outline against areas by hand and against points thrown at it."""

import numpy as np
import pytest
from matplotlib.path import Path  # another hand's point-in-polygon

from coachwork.studies.stowage.outline import Outline

L_SHAPE = np.array([[0.0, 0.0], [60.0, 0.0], [60.0, 20.0], [30.0, 20.0], [30.0, 50.0], [0.0, 50.0]])
U_SHAPE = np.array(
    [[0.0, 0.0], [60.0, 0.0], [60.0, 40.0], [40.0, 40.0], [40.0, 10.0], [20.0, 10.0], [20.0, 40.0], [0.0, 40.0]]
)
ARROW = np.array([[0.0, 0.0], [80.0, 10.0], [50.0, 22.0], [80.0, 40.0], [0.0, 50.0], [14.0, 25.0]])
SHAPES = pytest.mark.parametrize("corners", [L_SHAPE, U_SHAPE, ARROW], ids=["L", "U", "arrow"])


def test_the_hull_of_an_l_cuts_its_corner():
    """Shoelace by hand: 60 x 20 + 30 x 30 = 2100; its hull adds the triangle of 30 x 30 / 2 = 450."""
    outline = Outline(L_SHAPE)

    assert outline.area == pytest.approx(2100)
    assert Outline(outline.hull()).area == pytest.approx(2550)


@SHAPES
@pytest.mark.parametrize("backwards", [False, True])
def test_no_rectangle_off_the_deck_is_taken_to_be_on_it(corners, backwards):
    """Thrown rectangles whose corners, edges and middles are not all on the deck must not have room to the rim."""
    outline = Outline(corners[::-1] if backwards else corners)
    polygon = Path(corners)
    rng = np.random.default_rng(7)
    low = rng.uniform(-5, 75, (600, 2))
    size = rng.uniform(1, 25, (600, 2))
    steps = np.linspace(0, 1, 9)
    inside = np.array([
        all(polygon.contains_points([at + each * (i, j) for i in steps for j in steps], radius=1e-9))
        or all(polygon.contains_points([at + each * (i, j) for i in steps for j in steps], radius=-1e-9))
        for at, each in zip(low, size, strict=True)
    ])  # fmt: skip

    room = outline.room_to(low, low + size)

    assert not (room[~inside] > 1e-6).any()
    assert inside.any()


@pytest.mark.parametrize("corners", [L_SHAPE, U_SHAPE], ids=["L", "U"])
def test_square_bays_cost_no_room(corners):
    """Where all edges run along the axes, a rectangle wholly on the deck is found to be."""
    outline, rng = Outline(corners), np.random.default_rng(8)
    low = rng.uniform(0, 60, (800, 2))
    size = rng.uniform(1, 18, (800, 2))
    polygon = Path(corners)
    steps = np.linspace(0.001, 0.999, 25)
    inside = np.array([
        polygon.contains_points([at + each * (i, j) for i in steps for j in steps]).all()
        for at, each in zip(low, size, strict=True)
    ])  # fmt: skip

    assert (outline.room_to(low, low + size)[inside] > -0.05).all()
    assert inside.sum() > 20


def test_the_way_along_the_rim_is_the_shorter_one():
    """By hand on 100 x 40: from the middle of the front edge to the middle of the rear edge, 20 + 100 + 20."""
    outline = Outline(np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 40.0], [0.0, 40.0]]))

    assert outline.along_rim(np.array([100.0, 20.0]), np.array([0.0, 20.0])) == pytest.approx(140)
    assert outline.along_rim(np.array([30.0, 3.0]), np.array([70.0, 5.0])) == pytest.approx(3 + 40 + 5)


PLATE = np.array([[0.0, 0.0], [80.0, 0.0], [80.0, 50.0], [0.0, 50.0]])
WINDOW = np.array([[20.0, 15.0], [45.0, 15.0], [45.0, 35.0], [20.0, 35.0]])
SLANTED = np.array([[10.0, 20.0], [60.0, 22.0], [70.0, 26.0], [20.0, 24.0]])  # moves further than it is wide


@pytest.mark.parametrize("hole", [WINDOW, SLANTED, ARROW / 2 + 10], ids=["square", "slanted", "arrow"])
def test_no_rectangle_over_a_hole_is_taken_to_be_on_the_deck(hole):
    """By throwing rectangles: none that covers a point of the hole has room; where edges are square, all others do."""
    outline, rng = Outline(PLATE, (hole,)), np.random.default_rng(9)
    low = rng.uniform(0, 70, (600, 2))
    size = rng.uniform(0.5, 20, (600, 2))
    steps = np.linspace(0, 1, 25)
    path, on = Path(hole), ((low + size) <= [80, 50]).all(axis=1)
    covers = np.array([
        path.contains_points([at + each * (i, j) for i in steps for j in steps]).any()
        for at, each in zip(low, size, strict=True)
    ])  # fmt: skip

    room = outline.room_to(low, low + size)

    assert (covers & on).sum() > 20
    assert not (room[covers] > 1e-6).any()
    if hole is WINDOW:
        clear = on & ~((low < [45, 35]) & (low + size > [20, 15])).all(axis=1)
        assert (room[clear] >= 0).all()
    assert outline.area == pytest.approx(80 * 50 - Outline(hole).area)
