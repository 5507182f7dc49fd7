"""No box is put where the deck is not: bays and holes of an outline, in the solver as in the quick look."""

import numpy as np
import pytest
from matplotlib.path import Path  # another hand's point-in-polygon

from coachwork.studies.parts import is_missing
from coachwork.studies.stowage.glance import clash_at_a_glance
from coachwork.studies.stowage.masks import masks
from coachwork.studies.stowage.solve import Clash, Placement, Way, find, fits

U_DECK = [(0, 0), (90, 0), (90, 60), (64, 60), (64, 20), (26, 20), (26, 60), (0, 60)]
SLANTED = [(0, 0), (90, 0), (58, 30), (90, 60), (0, 60)]


def text(corners, boxes: str) -> str:
    rows = "\n".join(f"outline.c{k} = {{ x = {x}, y = {y} }}" for k, (x, y) in enumerate(corners))
    return f"[decks.main]\nheight = 3\nthickness = 2\n{rows}\n{boxes}"


def box(name: str, length: float, width: float, more: str = "") -> str:
    return f"[boxes.{name}]\nlength = {length}\nwidth = {width}\nheight = 10\nmass = 10\n{more}\n"


def lead(to: str) -> str:
    return f'exits.e = {{ face = "rear", room = 0 }}\nleads.l = {{ to = "{to}", length = 200 }}'


@pytest.mark.parametrize("corners", [U_DECK, SLANTED], ids=["U", "slanted"])
def test_boxes_that_draw_together_stay_out_of_a_bay(problem, short, corners):
    """Their leads would have them meet in the bay; every point of each footprint is on the polygon, and air off it."""
    hub = box("hub", 20, 20, 'exits.e = { face = "rear", room = 0 }')
    made = problem(text(corners, hub + box("one", 18, 18, lead("hub")) + box("two", 18, 16, lead("hub"))))
    found = find(made, short)

    assert isinstance(found, Placement)
    polygon = Path(np.array(corners, dtype=float))
    for item in made.items:
        spot = found.spots[item.name]
        low, size = np.array(spot.corner[:2]), np.array(item.poses[spot.pose].size[:2])
        points = [low + size * (i, j) for i in np.linspace(0, 1, 20) for j in np.linspace(0, 1, 20)]
        assert polygon.contains_points(points).all(), item.name


@pytest.mark.parametrize("corners", [U_DECK, SLANTED], ids=["U", "slanted"])
def test_the_solver_finds_a_place_exactly_where_the_quick_look_sees_one(problem, short, corners):
    """One box, larger and larger: two hands' answers."""
    answers = set()
    for side in range(18, 66, 3):
        made = problem(text(corners, box("one", side, side)))
        seen = any(mask.any() for mask in masks(made, "one"))
        assert isinstance(fits(made, 5), Placement) == seen, side
        answers.add(seen)
    assert answers == {True, False}


def test_a_box_too_wide_for_either_arm_clashes_with_the_outline_by_what_it_lacks(problem, short):
    """29 wide with 1 mm of air on both sides, on arms of 26 and 30: 1 mm short."""
    made = problem(text([(0, 0), (90, 0), (90, 60), (60, 60), (60, 20), (26, 20), (26, 60), (0, 60)],
                        box("plank", 44, 29)))  # fmt: skip
    deck_alone = problem(text([(0, 0), (90, 0), (90, 60), (0, 60)], box("plank", 44, 29)))

    found, seen = find(made, short), clash_at_a_glance(made)

    assert isinstance(find(deck_alone, short), Placement), "its innocent twin: the same deck without the bay"
    assert isinstance(found, Clash)
    assert seen is not None
    assert "outline main" in found.demands
    by_solver, by_look = (next(w for w in c.ways if w.demand == "outline main") for c in (found, seen))
    assert isinstance(by_solver, Way)
    assert by_solver.extra == by_look.extra == 1


def test_what_is_placed_by_the_solver_is_judged_to_be_on_the_deck(result_of, problem, short):
    """The judge has the polygon, not the rectangles that the solver has."""
    boxes = box("hub", 20, 20, 'exits.e = { face = "rear", room = 0 }') + box("one", 18, 18, lead("hub"))
    made = problem(text(SLANTED, boxes))
    found = find(made, short)
    assert isinstance(found, Placement)
    from coachwork.studies.stowage.accept import accepted

    places = "".join(
        f'[places.{p.name}]\non = "{p.on}"\nx = {p.x_mm}\ny = {p.y_mm}\n'
        + (f'turned = "{p.turn.turned}"\n' if p.turn.turned else "")
        for p in accepted(made, found)
    )
    result = result_of(text(SLANTED, boxes) + places)

    for part in result.air.values():
        assert not is_missing(part)
        assert part.least_mm[0] >= 0.99
