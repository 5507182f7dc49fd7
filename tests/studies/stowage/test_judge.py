"""Places judged against arithmetic by hand."""

import numpy as np
import pytest

from coachwork.plan import Plan
from coachwork.studies.parts import Blocked, Missing

BUILD = """
[decks.main]
height = 5
open-to = "rear"
outline.a = { x = 0, y = -40 }
outline.b = { x = 100, y = -40 }
outline.c = { x = 100, y = 40 }
outline.d = { x = 0, y = 40 }
[loads]
mass = 1000
[boxes.pack]
length = 40
width = 20
height = 20
mass = 200
comes-out = "down"
heat = "spoilt by heat"
exits.lead = { face = "front", room = 6 }
leads.main = { to = "controller.input", length = 60 }
[boxes.controller]
length = 20
width = 20
height = 15
mass = 50
heat = "hot"
reach = "rear"
exits.input = { face = "left", up = 2, room = 0 }
[places.pack]
on = "main"
x = 40
y = 25
[places.controller]
on = "main"
x = 80
y = -10
[keep-outs.bar]
x-from = 30
x-to = 34
y-from = 20
y-to = 60
z-from = -10
z-to = 2
"""


@pytest.fixture
def result(result_of):
    return result_of(BUILD)


def test_air_and_distance(result):
    """Pack 20..60 by 15..35, controller 70..90 by -20..0: 10 apart along, 15 across; the rim is 10 off."""
    assert result.air["controller"].least_mm[0] == pytest.approx(10)
    assert result.air["pack"].least_mm[0] == pytest.approx(3), "3 mm over the bar below it"
    assert result.apart["pack.controller"].apart_mm[0] == pytest.approx(np.hypot(10, 15))


def test_the_lead_runs_along_across_and_up(result):
    """From (60, 25, 15) to (80, 0, 14.5): 20 + 25 + 0.5, and a tenth of slack."""
    assert result.leads["pack.main"].needs_mm[0] == pytest.approx(1.1 * 45.5)


def test_a_plug_has_the_room_to_the_next_thing_straight_ahead(result):
    """Ahead of the pack's face there is only the rim, 40 mm off; it asks for 6."""
    assert result.plugs["pack"].spare_mm[0] == pytest.approx(34)


def test_the_bar_under_the_pack_is_in_its_way_out(result):
    assert result.out["pack"].things == ("bar",)


def test_a_face_is_in_reach_when_nothing_stands_behind_it(result_of):
    assert result_of(BUILD).reach["controller.rear"].things == ()
    behind = BUILD.replace("x = 40\ny = 25", "x = 40\ny = 5")  # pack -5..15: across the controller's -20..0
    assert result_of(behind).reach["controller.rear"].things == ("pack",)


def test_a_face_that_looks_to_a_closed_side_is_not(result_of):
    turned = BUILD.replace("x = 80\ny = -10", 'x = 80\ny = -10\nturned = "about"')
    assert result_of(turned).reach["controller.rear"].things == ("the wall to the front",)


def test_side_balance_is_the_boxes_moment_over_the_vehicle(result):
    """(200 x 25 - 50 x 10) / 1000."""
    assert result.side.off_mm[0] == pytest.approx(4.5)


def test_places_that_break_demands_are_counted(result):
    """The pack's way out; nothing else."""
    assert result.fit.number[0] == 1
    assert result.fit.broken == ("the way out of pack",)


def test_a_mirrored_vehicle_has_the_same_answers(result_of):
    """With y to -y, the exit on the left to the right: all the same, but the pull is to the other side."""
    mirrored = BUILD.replace("y = 25", "y = -25").replace("y = -10\n[keep", "y = 10\n[keep")
    mirrored = mirrored.replace("y-from = 20\ny-to = 60", "y-from = -60\ny-to = -20").replace(
        '"left", up', '"right", up'
    )
    one, two = result_of(BUILD), result_of(mirrored)

    assert two.side.off_mm == pytest.approx(-one.side.off_mm)
    assert two.leads["pack.main"].needs_mm == pytest.approx(one.leads["pack.main"].needs_mm)
    assert two.air["pack"].least_mm == pytest.approx(one.air["pack"].least_mm)
    assert two.out["pack"].things == one.out["pack"].things


def test_what_is_not_measured_is_named_and_the_rest_is_answered(result_of):
    result = result_of(BUILD.replace("width = 20\nheight = 15", "height = 15"))

    assert result.air["controller"] == Missing(("boxes.controller.width",))
    assert result.air["pack"].least_mm[0] == pytest.approx(3)


def test_a_box_without_a_place_is_not_judged(result_of):
    result = result_of(BUILD.replace('[places.pack]\non = "main"\nx = 40\ny = 25\n', ""))

    assert isinstance(result.air["pack"], Blocked)
    assert isinstance(result.fit, Blocked)


def test_a_mass_may_stand_in_masses(result_of):
    elsewhere = BUILD.replace("mass = 200\n", "") + "[masses.pack]\nmass = 200\n"
    assert result_of(elsewhere).side.off_mm[0] == pytest.approx(4.5)


def test_spreads_move_sizes_not_places(build_of):
    """A longer pack comes nearer to the controller by half of what it is longer."""
    from coachwork.plan import Sampled

    plan, build = Plan(), build_of(BUILD)
    columns = {"boxes.pack.length": np.array([40.0, 44.0])}
    sampled = plan.run_sampled(build, "stowage", Sampled(samples=2, columns=columns))

    assert sampled.result.apart["pack.controller"].apart_mm == pytest.approx(np.hypot([10, 8], 15))
