"""The whole study on the demonstration van and on variants of it."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan
from coachwork.studies.balance import BalanceResult
from coachwork.studies.balance.charts import charts
from coachwork.studies.parts import Missing

# The van's own path, for what it drives stands in a file beside it.
VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"
ENDS = ("front", "rear")


@pytest.fixture(scope="module")
def plan():
    return Plan()


@pytest.fixture
def text():
    return VAN.read_text(encoding="utf-8")


def changed(text, **keys):
    for key, value in keys.items():
        text = with_entry(text, key.replace("__", ".").replace("_", "-"), value)
    return text


@pytest.fixture
def result_of(plan):
    def run(text) -> BalanceResult:
        return plan.run(read_text(text, VAN), only=["balance"])["balance"].result

    return run


@pytest.fixture
def verdicts_of(plan):
    def run(text):
        return {v.id: v for v in examine(read_text(text, VAN), plan=plan, only=["balance"]).verdicts}

    return run


def test_the_vans_rear_height_as_at_the_bench(text, result_of, plan):
    """By hand: weigh the axle, take off what is unsprung, halve it, divide by the motion ratio that two rulers give.

    The ratio is read off the linkage as a builder would: damper length at a mm of bump and a mm of droop.
    """
    soft = changed(text, changes__rear__spring__rate="0.55 ± 0.01 N/mm")

    found = result_of(soft)

    damper = found.springs["rear"].reach
    at = [float(np.interp(z, damper.travel_mm[0], damper.damper_mm[0])) for z in (-1.0, 0.0, 1.0)]
    ratio = (at[0] - at[2]) / 2
    on_rear = (663 + 688) * 9.80665e-3
    each = (on_rear - 290 * 9.80665e-3) / 2 / ratio
    squeezed = each / 0.55
    length = 44.0 - 36.0 + 53.2 - squeezed  # damper length at which the spring is squeezed by so much
    by_hand = (at[1] - length) / ratio
    assert by_hand > 1.0  # there is something to settle
    assert found.ride["rear"].sunk_mm[0] == pytest.approx(by_hand, abs=0.06)  # ratio and loads change as it sinks
    assert found.settled.rounds < 15


@pytest.mark.parametrize("end", ENDS)
def test_entering_the_height_it_comes_to_closes_the_loop(text, result_of, end):
    """With that height wanted, stance and linkage move there, and the springs are at rest in it."""
    soft = changed(text, **{f"changes__{end}__spring__rate": "0.54 ± 0.01 N/mm"})
    stands = result_of(soft).ride[end].stands_mm[0]
    assert abs(stands - 9.0) > 1.0

    entered = changed(soft, **{f"changes__{end}__ride_height": f"{stands:.3f} ± 0.2"})

    assert result_of(entered).ride[end].sunk_mm[0] == pytest.approx(0.0, abs=0.01)
    assert result_of(entered).ride[end].stands_mm[0] == pytest.approx(stands, abs=0.01)


@pytest.mark.parametrize("end", ENDS)
def test_the_collars_told_bring_the_wanted_height(text, result_of, end):
    soft = changed(text, **{f"changes__{end}__spring__rate": "0.54 ± 0.01 N/mm"})
    collar = result_of(soft).ride[end].collar_mm[0]
    assert collar > 1.0

    turned = changed(soft, **{f"changes__{end}__spring__fitted_length": f"{36.0 - collar:.3f}"})

    assert result_of(turned).ride[end].sunk_mm[0] == pytest.approx(0.0, abs=0.02)  # the other end is 0.1 mm off


def test_moving_the_weight_told_puts_it_in_the_middle(text, verdicts_of):
    """The pack 90 mm aside; then as many grams as told go 30 mm the other way, in the pack's own place."""
    aside = changed(text, places__pack__y="90")
    for key in ("front-left", "front-right", "rear-left", "rear-right", "raised-by", "raised-front"):
        aside = with_entry(aside, f"scales.{key}", "?")
    told = verdicts_of(aside)["balance.side-to-side"]
    assert told.state == "fails"
    grams = float(told.do.split(": ")[1].split(" g")[0])

    moved = changed(aside, places__pack__y=f"{90 - 30 * grams / 244:.2f}")

    assert verdicts_of(moved)["balance.side-to-side"].value == pytest.approx(0.0, abs=0.02)


def test_ballast_as_told_makes_it_slide_before_it_tips(text, verdicts_of):
    """A grip of 1.6 tips the finished van; ballast where the sentence says brings the factor to the grip."""
    grippy = changed(text, loads__grip="1.6 ± 0.01")
    for key in ("front-left", "front-right", "rear-left", "rear-right", "raised-by", "raised-front"):
        grippy = with_entry(grippy, f"scales.{key}", "?")
    told = verdicts_of(grippy)["balance.tips-or-slides"]
    assert told.state == "fails"
    grams = float(told.do.split("hang ")[1].split(" g")[0])

    hung = changed(grippy, masses__ballast__mass=f"{grams} ± 1 g", masses__ballast__at__x="-133 ± 1",
                   masses__ballast__at__y="0 ± 1", masses__ballast__at__z="3 ± 0.5")  # fmt: skip

    assert verdicts_of(hung)["balance.tips-or-slides"].value == pytest.approx(1.6, abs=0.03)


def test_the_scale_is_believed_before_the_sum_and_the_sum_before_nothing(text, result_of):
    assert result_of(text).stood.weight.found_by == "the scale"
    assert result_of(with_entry(text, "scales.front-left", "?")).stood.weight.found_by == "adding up its parts"


def test_the_vehicles_own_scale_and_sum_may_disagree(text, verdicts_of):
    heavier = verdicts_of(changed(text, masses__pack__mass="392 ± 1 g"))["balance.parts-against-scale"]

    assert heavier.state == "fails"
    assert "listed twice or too heavy, 147 g" in heavier.do


LIVE_REAR = """
[running-gear]
drive = "none"
wheelbase = 270
[running-gear.front]
ride-height = 9
hub-face = [0, 79, 24.3]
[running-gear.rear]
kind = "live-axle"
ride-height = 9
bump-travel = 8
droop-travel = 8
hub-face = [0, 79, 24.3]
damper-inner = [-12, 30, 60]
damper-outer = [-12, 30, 20]
unsprung = "300 ± 0 g"
[running-gear.rear.links]
lower-left = { chassis = [90, 30, 24], axle = [0, 40, 24] }
lower-right = { chassis = [90, -30, 24], axle = [0, -40, 24] }
upper = { chassis = [90, 0, 40], axle = [0, 0, 40] }
panhard = { chassis = [-10, 50, 24], axle = [-10, -50, 24] }
[running-gear.rear.spring]
rate = "0.3 ± 0 N/mm"
free-length = 44
fitted-length = 36
[running-gear.rear.damper]
length-out = 46
[wheels.front]
tyre-diameter = 69
tyre-squash = 1.2
inset = 4
[wheels.rear]
tyre-diameter = 69
tyre-squash = 1.2
inset = 4
[shell]
wheelbase = 270
"""


def test_a_live_axles_upright_dampers_move_as_the_axle_does(result_of):
    """A vertical damper over the axle's own line: ratio 1 in heave; leaning, its own distance from the middle."""
    reach = result_of(LIVE_REAR).springs["rear"].reach
    ride = reach.travel_mm.shape[1] // 2

    assert reach.ratio[0, ride] == pytest.approx(1.0, abs=0.02)
    assert reach.roll_lever_mm[0] == pytest.approx(30.0, abs=0.3)


def test_without_weight_or_springs_each_answer_names_what_it_lacks(text, verdicts_of, result_of):
    no_springs = with_entry(text, "running-gear.rear.spring.free-length", "?")
    verdicts = verdicts_of(no_springs)

    assert verdicts["balance.rear.ride-height"].missing == ("running-gear.rear.spring.free-length",)
    assert verdicts["balance.tips-or-slides"].state == "holds"
    bare = result_of("[shell]\nwheelbase = 270\n")
    assert isinstance(bare.stood, Missing)
    assert "scales.front-left" in bare.stood.keys


def test_a_mass_told_wrongly_to_the_other_studies_is_caught_and_its_neighbour_is_not(text, verdicts_of):
    assert verdicts_of(changed(text, loads__mass="2640 ± 10 g"))["balance.mass"].state == "fails"
    assert verdicts_of(changed(text, loads__mass="2700 ± 10 g"))["balance.mass"].state == "holds"


@pytest.mark.parametrize(("rate", "note"), [("0.65 ± 0.01", "It settles where"), ("0.3 ± 0.01", "on its bump stops")])
def test_the_springs_curve_says_whether_they_hold_it(text, result_of, rate, note):
    found = result_of(changed(text, changes__front__spring__rate=f"{rate} N/mm"))

    assert note in {chart.id: chart.note for chart in charts(found)}["balance.front.springs"]
