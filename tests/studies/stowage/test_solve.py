"""Finding places: what stays, what moves, how good it is, and that stopping keeps what was found."""

import sys

import pytest

from coachwork.studies.parts import CannotBe
from coachwork.studies.stowage.accept import accepted
from coachwork.studies.stowage.glance import clash_at_a_glance, masks
from coachwork.studies.stowage.solve import Limits, Placement, fits, improve
from coachwork.studies.watch import Watch

DECK = """
[decks.main]
height = 0
outline.a = {{ x = 0, y = -20 }}
outline.b = {{ x = {long}, y = -20 }}
outline.c = {{ x = {long}, y = 20 }}
outline.d = {{ x = 0, y = 20 }}
"""
TWO = (
    DECK
    + """
[boxes.anchor]
length = 10
width = 10
height = 10
mass = 100
exits.out = {{ face = "front", room = 0 }}
[boxes.mover]
length = 20.2
width = 10
height = 10
mass = 100
exits.in = {{ face = "front", room = 0 }}
leads.wire = {{ to = "anchor", length = 300 }}
[places.anchor]
on = "main"
x = 6
y = 0
keep = true
"""
)


def test_the_best_place_is_the_one_found_by_hand(problem):
    """One lead, nothing else worth anything: exit to exit is 1 mm apart, the air between the two."""
    posed = problem(TWO.format(long=80) + "[stowing]\nside-worth = 0\n")
    first = fits(posed, 5)
    best = improve(posed, first, Limits(improve=10, workers=1))

    assert best.gap == 0
    (anchor, mover) = accepted(posed, best)
    assert anchor.stays
    # Its face turned to the anchor's exit, middle to middle as nearly as the grid has it: 1 mm of air, and 0.5 mm aside
    # where an odd number of steps does not halve.
    assert best.cost / 10_000 <= 2.0
    assert mover.turn.side_of("front") in ("rear", "left", "right")


def test_sizes_are_rounded_up_to_the_grid(problem):
    """20.2 mm take 21 steps: with 1 mm of air at each end and the anchor of 10, 35 are needed, 34 are too few."""
    text = TWO.replace("width = 10\nheight = 10\nmass = 100\nexits.in", "width = 38\nheight = 10\nmass = 100\nexits.in")
    assert problem(text.format(long=80)).item("mover").poses[0].size == (21, 38, 10)

    assert isinstance(fits(problem(text.format(long=34)), 5), Placement)
    assert fits(problem(text.format(long=33)), 5) is False


def test_what_stays_stays_and_the_same_is_found_again(problem):
    posed = problem(TWO.format(long=80))
    one, two = (improve(posed, fits(posed, 5), Limits(improve=5, workers=4)) for _ in range(2))

    assert one.spots == two.spots
    assert accepted(posed, one)[0].x_mm == 6


def test_only_the_box_named_is_moved(tables_of):
    from coachwork.studies.stowage.posing import problem_of

    placed = TWO.replace("keep = true", '[places.mover]\non = "main"\nx = 60\ny = 0')
    posed = problem_of(tables_of(placed.format(long=80)), move=frozenset({"anchor"}))

    assert posed.item("mover").fixed is not None
    assert posed.item("anchor").fixed is None


def test_stopped_it_keeps_the_best_so_far(problem):
    posed = problem(TWO.format(long=80))
    first = fits(posed, 5)

    stopped = improve(posed, first, Limits(improve=50), Watch(cancelled=lambda: True))

    assert set(stopped.spots) == {"anchor", "mover"}
    assert stopped.gap is None or stopped.gap >= 0


def test_without_the_solver_it_says_what_to_install(problem, monkeypatch):
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)

    with pytest.raises(CannotBe, match=r"coachwork\[stow\]"):
        fits(problem(TWO.format(long=80)), 1)


POSTED = TWO + "[keep-outs.post]\nx-from = {a}\nx-to = {b}\ny-from = -3\ny-to = 30\nz-from = -5\nz-to = {top}\n"


@pytest.mark.parametrize("a", range(14, 34, 3))
@pytest.mark.parametrize("top", [5, 50])
def test_a_glance_and_the_constraint_programme_agree_on_one_box(problem, a, top):
    """Two ways to the same answer: masks over all places, and the solver."""
    posed = problem(POSTED.format(long=40, a=a, b=a + 4, top=top))
    free = any(mask.any() for mask in masks(posed, "mover"))

    assert isinstance(fits(posed, 5), Placement) == free
    assert (clash_at_a_glance(posed) is None) == free
