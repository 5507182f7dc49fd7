"""Box on box where one may carry the other; and where the weight is wanted."""

import pytest

from coachwork.studies.stowage.accept import accepted
from coachwork.studies.stowage.glance import clash_at_a_glance
from coachwork.studies.stowage.solve import Clash, Limits, Placement, find, fits

TWO = """
[stowing]
gap = 1
[decks.main]
height = 0
outline.a = {{ x = 0, y = 0 }}
outline.b = {{ x = 44, y = 0 }}
outline.c = {{ x = 44, y = 34 }}
outline.d = {{ x = 0, y = 34 }}
[ceilings.roof]
x-from = -5
x-to = 50
y-from = -5
y-to = 40
height = {roof}
[boxes.controller]
length = 40
width = 30
height = 20
carries = {carries}
[boxes.receiver]
length = {length}
width = 24
height = 12
{more}
"""
USUAL = {"roof": 34, "carries": "true", "length": 30, "more": ""}

# What does not do, and its innocent twin a step away: the deck holds one of the two, the other has to go on top.
PLANTED = {
    "it may not be stood upon": ({"carries": "false"}, {}),
    "no room over the two": ({"roof": 32}, {"roof": 33}),
    "longer than what would carry it": ({"length": 41}, {"length": 40}),
    "a pack is not laid on another box": ({"more": 'comes-out = "down"'}, {}),
}


@pytest.mark.parametrize(("planted", "twin"), PLANTED.values(), ids=PLANTED)
def test_it_is_stacked_only_where_it_may_be(problem, planted, twin):
    assert fits(problem(TWO.format(**{**USUAL, **planted})), 10) is False

    posed = problem(TWO.format(**{**USUAL, **twin}))
    found = fits(posed, 10)

    assert isinstance(found, Placement)
    below, above = (found.spots[name] for name in ("controller", "receiver"))
    assert (below.on, above.on) == ("main", "controller")
    size = {name: posed.item(name).poses[found.spots[name].pose].size for name in found.spots}
    assert above.corner[2] == below.corner[2] + size["controller"][2], "on its top, neither in it nor over it"
    for a in range(2):
        assert below.corner[a] <= above.corner[a], "wholly supported"
        assert above.corner[a] + size["receiver"][a] <= below.corner[a] + size["controller"][a]
    assert clash_at_a_glance(posed) is None, "a look box by box must not deny it"


def test_the_clash_of_a_stack_names_the_roof(problem, short):
    clash = find(problem(TWO.format(**{**USUAL, "roof": 32})), short)

    assert isinstance(clash, Clash)
    assert "ceiling roof" in clash.demands
    assert next(way.extra for way in clash.ways if way.demand == "ceiling roof") == 1


def test_a_stack_that_is_written_down_is_judged_where_it_stands(problem, result_of):
    text = TWO.format(**USUAL)
    posed = problem(text)
    places = "".join(
        f'[places.{p.name}]\non = "{p.on}"\nx = {p.x_mm}\ny = {p.y_mm}\n'
        + (f'turned = "{p.turn.turned}"\n' if p.turn.turned else "")
        for p in accepted(posed, fits(posed, 10))
    )

    judged = result_of(text + places)

    assert judged.fit.broken == ()
    assert float(judged.air["receiver"].at.low[0, 2]) == 20.0


HEAVY = """
[running-gear]
wheelbase = 200
[wanted]
front-share = {share}
[loads]
mass = 1000
[stowing]
side-worth = 0
front-worth = {worth}
[decks.main]
height = 0
outline.a = {{ x = -200, y = -20 }}
outline.b = {{ x = 0, y = -20 }}
outline.c = {{ x = 0, y = 20 }}
outline.d = {{ x = -200, y = 20 }}
[boxes.pack]
length = 30
width = 30
height = 20
mass = 400
[masses]
{rest}
"""


@pytest.mark.parametrize(("share", "x_mm"), [(0.7, -60), (0.5, -100), (0.35, -130)])
def test_a_heavy_box_goes_where_the_wanted_share_has_it(problem, share, x_mm):
    """It alone counts: its middle is wanted (1 - share) of the wheelbase behind the front axle."""
    posed = problem(HEAVY.format(share=share, worth=5, rest=""))
    best = find(posed, Limits(decide=5, improve=5))

    assert best.gap == 0
    assert accepted(posed, best)[0].x_mm == pytest.approx(x_mm, abs=0.5)


def test_what_stands_in_masses_is_made_up_for(problem):
    """200 g at the front axle, wanted at 100 mm behind it, pull 20 kg mm forward; 400 g make up for it 50 mm back."""
    rest = 'motor = { mass = "200 g", at = [0, 0, 10] }'
    posed = problem(HEAVY.format(share=0.5, worth=5, rest=rest))
    best = find(posed, Limits(decide=5, improve=5))

    assert accepted(posed, best)[0].x_mm == pytest.approx(-150, abs=0.5)


def test_worth_nothing_it_is_not_asked_for(problem):
    assert problem(HEAVY.format(share=0.5, worth=0, rest="")).pulls == ()
    assert len(problem(HEAVY.format(share=0.5, worth=5, rest="")).pulls) == 1
