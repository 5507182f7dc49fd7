"""Ten planted conflicts, each with an innocent twin a step away.

Of each: the planted demand is named; with all named ones kept and everything else given up there is still no place;
with any one of them given up there is one; and so there is in the twin.
"""

import pytest

from coachwork.studies.stowage.solve import Clash, Placement, find, fits
from coachwork.studies.stowage.words import clash_words, cure

BASE = """
[stowing]
gap = 1
[decks.main]
height = 0
thickness = 2
open-to = "rear, bottom"
outline.a = {{ x = 0, y = 0 }}
outline.b = {{ x = {deck}, y = 0 }}
outline.c = {{ x = {deck}, y = 60 }}
outline.d = {{ x = 0, y = 60 }}
doors.hatch = {{ x-from = 40, x-to = {door}, y-from = 5, y-to = 55 }}
[ceilings.roof]
x-from = -10
x-to = 130
y-from = -10
y-to = 70
height = {roof}
[boxes.pack]
length = 60
width = 30
height = 20
comes-out = "down"
heat = "spoilt by heat"
[boxes.motor]
length = 20
width = 20
height = 20
heat = "hot"
exits.tags = {{ face = "front", room = 0 }}
[boxes.{name}]
length = {length}
width = {width}
height = {height}
stands-on = "{stands}"
exits.plug = {{ face = "front", room = {room} }}
{more}
[places.motor]
on = "main"
x = {motor_x}
y = {motor_y}
keep = true
"""
USUAL = {
    "deck": 120, "door": 112, "roof": 60, "name": "radio", "length": 24, "width": 16, "height": 12, "stands": "bottom",
    "room": 0, "more": "", "motor_x": 11, "motor_y": 11,
}  # fmt: skip
POST = "[keep-outs.post]\nx-from = 70\nx-to = 76\ny-from = {0}\ny-to = {1}\nz-from = -9\nz-to = -3\n"
LEAD = 'leads.wire = {{ to = "motor", length = {0} }}\n[places.radio]\non = "main"\nx = 100\ny = 11\nkeep = true\n'
BAR = "[keep-outs.bar]\nx-from = 2\nx-to = 10\ny-from = {0}\ny-to = 60\nz-from = 0\nz-to = 30\n"

# name: (what the planted one changes, what its twin changes, the demand that has to be named, steps it would take)
PLANTED = {
    "the pack cannot be drawn past a post": (
        {"more": POST.format(27, 33)}, {"more": POST.format(36, 42)}, "keep-out post", 9,
    ),
    "the pack's door is too small": ({"door": 98}, {"door": 100}, "out pack", 1),
    "a plug faces the wall": (
        {"length": 98, "width": 12, "room": 20}, {"length": 98, "width": 12, "room": 19}, "room radio", 1,
    ),
    "the ceiling is 1 mm too low": ({"height": 30, "roof": 30}, {"height": 30, "roof": 31}, "ceiling roof", 1),
    "a lead is 20 mm too short": (
        {"more": LEAD.format(85)}, {"more": LEAD.format(105)}, "lead radio.wire", 21,
    ),
    "two keep further apart than the deck is long": (
        {"more": "keep-from.motor = { gap = 90 }"}, {"more": "keep-from.motor = { gap = 60 }"},
        "apart motor radio", None,
    ),
    "a switch is hidden behind a bar": (
        {"more": 'reach = "front"\n' + BAR.format(0), "length": 12, "width": 10, "height": 8, "motor_x": 140},
        {"more": 'reach = "front"\n' + BAR.format(24), "length": 12, "width": 10, "height": 8, "motor_x": 140},
        "reach radio front", None,
    ),
    "a box is longer than the deck": (
        {"length": 119, "width": 20, "height": 12}, {"length": 118, "width": 20, "height": 12}, "outline main", 1,
    ),
    "the motor stays where the pack's door is": (
        {"motor_x": 76, "motor_y": 30}, {"motor_x": 11, "motor_y": 30}, "keep motor", None,
    ),
    "a box may not be stood on its side": (
        {"length": 70, "width": 62, "height": 12, "roof": 70},
        {"length": 70, "width": 62, "height": 12, "roof": 70, "stands": "bottom, left"},
        "stand radio", None,
    ),
}  # fmt: skip


@pytest.fixture
def clash_of(problem, short):
    def clash(changes):
        posed = problem(BASE.format(**{**USUAL, **changes}))
        return posed, find(posed, short)

    return clash


@pytest.mark.parametrize(("planted", "twin", "named", "steps"), PLANTED.values(), ids=PLANTED)
def test_a_planted_conflict_is_named_and_each_of_its_demands_is_needed(clash_of, planted, twin, named, steps):
    posed, clash = clash_of(planted)

    assert isinstance(clash, Clash)
    assert clash.proven
    assert named in clash.demands
    everything = set(posed.demands())
    assert fits(posed.without(everything - set(clash.demands)), 5) is False, "these alone are too much"
    for demand in clash.demands:
        left = posed.without(everything - set(clash.demands) | {demand})
        assert isinstance(fits(left, 5), Placement), f"without {demand} it is not"
    assert isinstance(fits(posed.without({named}), 10), Placement), "there is no other conflict"
    for way in clash.ways:
        assert isinstance(fits(posed.without({way.demand}), 10), Placement), f"{way.demand} alone is told to do"
    if steps is not None:
        assert next(way.extra for way in clash.ways if way.demand == named) == steps


@pytest.mark.parametrize(("planted", "twin", "named", "steps"), PLANTED.values(), ids=PLANTED)
def test_its_innocent_twin_is_not_accused(problem, planted, twin, named, steps):
    assert isinstance(fits(problem(BASE.format(**{**USUAL, **twin})), 10), Placement)


def test_it_is_told_in_words_with_a_change_and_its_number(clash_of):
    posed, clash = clash_of(PLANTED["the ceiling is 1 mm too low"][0])

    assert "nothing reaches the ceiling roof" in clash_words(clash)
    assert "raise the ceiling roof by 1 mm" in cure(clash, posed.step_mm)


def test_what_would_do_does(problem, clash_of, short):
    """The number told for the post, taken from the file's text: one step less is not enough."""
    changes = PLANTED["the pack cannot be drawn past a post"][0]
    _, clash = clash_of(changes)
    way = next(way for way in clash.ways if way.demand == "keep-out post")

    def moved(by):
        return fits(problem(BASE.format(**{**USUAL, "more": POST.format(27 + by, 33 + by)})), 10)

    assert any(isinstance(moved(by), Placement) for by in (way.extra, -way.extra))
    assert not any(isinstance(moved(by), Placement) for by in (way.extra - 1, 1 - way.extra))


def test_what_would_not_do_by_itself_is_not_told(problem, short):
    """A lead of 20 mm between two that keep 10 mm apart, with plugs of 6 and 4 mm: apart or not, it is too short."""
    more = (
        'keep-from.motor = { gap = 10 }\nexits.signal = { face = "rear", room = 4 }\n'
        'leads.wire = { leaves = "plug", to = "motor", length = 1 }\n'
    )
    clash = find(problem(BASE.format(**{**USUAL, "more": more})), short)

    assert isinstance(clash, Clash)
    told = {way.demand for way in clash.ways}
    assert "lead radio.wire" in told
    assert "apart motor radio" not in told
