"""Two arms and live axles, from the build file to the verdicts. The vehicles are invented."""

from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import root

from coachwork.build import read_text, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan

TWO_ARMS = """
[running-gear]
drive = "none"
[running-gear.front]
kind = "two-arm"
camber = "-1 ± 0.3"
toe = "0 ± 0.3"
bump-travel = 8
droop-travel = 6
arm-pin-front = [15.0, 20.0, 11.0]
arm-pin-rear = [-14.0, 20.0, 11.0]
lower-ball = [1.6, 60.0, 9.5]
upper-pin-front = [9.0, 28.0, 32.0]
upper-pin-rear = [-11.0, 28.0, 32.0]
upper-ball = [-1.2, 57.0, 31.0]
tie-rod-inner = [-13.0, 20.0, 18.0]
tie-rod-outer = [-12.5, 58.0, 17.4]
tie-rod-length = 38.1
hub-face = [0, 72, 20]
[running-gear.front.steering]
kind = "slide"
slide-lock = 5
[running-gear.front.wheel]
tyre-diameter = 66
inset = 3
"""

AXLE = """
[running-gear]
drive = "shaft"
wheelbase = 270
centre-shaft-length = 180
centre-shaft-plunge = "4 ± 0.5"
[running-gear.rear]
kind = "live-axle"
bump-travel = 10
droop-travel = 10
hub-face = [0, 80, 30]
[running-gear.rear.links]
lower-left = { chassis = [90, 30, 24], axle = [0, 40, 25] }
lower-right = { chassis = [90, -30, 24], axle = [0, -40, 25] }
upper = { chassis = [80, 10, 40], axle = [0, 10, 42] }
panhard = { chassis = [-10, 50, 35], axle = [-10, -50, 35] }
"""

LEAVES = """
[running-gear]
drive = "none"
[running-gear.rear]
kind = "live-axle"
leaf-sprung = true
bump-travel = 8
droop-travel = 8
hub-face = [0, 80, 30]
[running-gear.rear.links]
left-leaf = { chassis = [60, 40, 20], axle = [0, 40, 22] }
right-leaf = { chassis = [60, -40, 20], axle = [0, -40, 22] }
"""


def verdicts_of(text):
    return {v.id: v for v in examine(read_text(text, Path("build.toml")), only=["linkage"]).verdicts}


def result_of(text):
    return Plan().run(read_text(text, Path("build.toml")), only=["linkage"])["linkage"].result


def test_two_arms_answer_all_but_what_they_do_not_have():
    verdicts = verdicts_of(TWO_ARMS)

    assert verdicts["linkage.front.assembles"].state == "holds"
    assert verdicts["linkage.front.camber"].value == pytest.approx(0.0, abs=1e-6)
    assert "linkage.front.camber-link-inner-angle" not in verdicts
    assert "linkage.front.shaft-bottoms" not in verdicts  # nothing drives it
    assert verdicts["linkage.front.trail"].state == "holds"


def test_a_longer_lower_arm_alone_leans_the_top_in():
    """Against the same four bars solved in the plane by scipy: pins along x make the motion planar but for the steer.

    3 mm over a kingpin 21.5 mm high tilt the knuckle by 8 deg; it then rises until the hub is back at ride height.
    """

    def planar_camber_deg(longer):
        lower_pin, lower, upper_pin, upper, hub = (
            np.array(p) for p in ((20, 11), (60, 9.5), (28, 32), (57, 31), (72, 20))
        )
        arm, upper_arm = np.linalg.norm(lower - lower_pin) + longer, np.linalg.norm(upper - upper_pin)

        def turned(vector, angle):
            return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) @ vector

        def open_by(unknowns):
            swing, tilt = unknowns
            ball = lower_pin + turned((lower - lower_pin) / np.linalg.norm(lower - lower_pin) * arm, swing)
            reach = np.linalg.norm(ball + turned(upper - lower, tilt) - upper_pin)
            return [reach - upper_arm, (ball + turned(hub - lower, tilt))[1] - 20]

        # A turn from y to z lowers nothing of the wheel's top outboard: it leans it in, so camber falls by the tilt.
        return -1.0 - np.degrees(root(open_by, [0.0, 0.0], tol=1e-12).x[1])

    text = with_entry(with_entry(TWO_ARMS, "changes.front.arm-longer", 3.0), "changes.front.tie-rod-length", 41.1)
    steered_back = with_entry(
        text, "changes.front.tie-rod-length", 41.1 + float(result_of(text).front.cure.tie_rod_longer_mm[0])
    )

    verdicts = verdicts_of(steered_back)

    assert verdicts["linkage.front.toe"].value == pytest.approx(0.0, abs=1e-6)
    assert verdicts["linkage.front.camber"].value + -1.0 == pytest.approx(planar_camber_deg(3.0), abs=0.1)


def test_both_arms_longer_by_the_same_keep_the_camber_nearly():
    text = with_entry(with_entry(TWO_ARMS, "changes.front.arm-longer", 3.0), "changes.front.upper-arm-longer", 3.0)
    text = with_entry(text, "changes.front.tie-rod-length", 41.1)

    verdicts = verdicts_of(text)

    assert abs(verdicts["linkage.front.camber"].value) < 0.3
    assert abs(verdicts["linkage.front.toe"].value) < 0.5


def test_an_upper_arm_that_cannot_reach_its_ball_is_told_in_millimetres():
    verdict = verdicts_of(with_entry(TWO_ARMS, "changes.front.upper-arm-longer", 60.0))["linkage.front.assembles"]

    assert verdict.state == "fails"
    assert verdict.value < -1


def test_a_three_link_axle_with_panhard_is_held_and_free():
    verdicts = verdicts_of(AXLE)

    assert verdicts["linkage.rear.held"].value == 0
    assert verdicts["linkage.rear.bind"].value == pytest.approx(0, abs=1e-9)
    assert {v.state for v in verdicts.values() if v.id.startswith("linkage.rear")} == {"holds"}


def test_panhard_swings_the_axle_sideways_by_its_arc():
    """L - sqrt(L^2 - z^2) for a level bar of 100 mm over 10 mm of travel: 0.50 mm."""
    verdict = verdicts_of(AXLE)["linkage.rear.sideways"]

    assert verdict.value == pytest.approx(100 - np.sqrt(100**2 - 10**2), abs=0.03)  # the links pull it a little as well


def test_a_panhard_on_four_links_is_one_link_too_many_and_the_strain_is_told():
    four = AXLE.replace(
        "upper = { chassis = [80, 10, 40], axle = [0, 10, 42] }",
        "upper-left = { chassis = [80, 40, 40], axle = [0, 10, 42] }\n"
        "upper-right = { chassis = [80, -40, 40], axle = [0, -10, 42] }",
    )

    verdicts = verdicts_of(four)
    without = verdicts_of("\n".join(line for line in four.splitlines() if not line.startswith("panhard")))

    assert verdicts["linkage.rear.held"].state == "fails"
    assert "5 links" in verdicts["linkage.rear.held"].why
    assert "1 freedom " in verdicts["linkage.rear.held"].why
    assert verdicts["linkage.rear.bind"].state == "fails"
    assert without["linkage.rear.held"].state == "holds"
    assert without["linkage.rear.bind"].value == pytest.approx(0, abs=1e-9)


def test_an_axle_without_its_panhard_has_a_link_too_few():
    loose = "\n".join(line for line in AXLE.splitlines() if not line.startswith("panhard"))

    verdict = verdicts_of(loose)["linkage.rear.held"]

    assert verdict.state == "fails"
    assert "too few" in verdict.why


def test_leaves_carry_the_axle_back_along_their_arc():
    """The equivalent link: three quarters of the leaf's half, so a rise of 8 mm moves it as a radius of 45 mm does."""
    rear = result_of(LEAVES).rear.changed

    forward = rear.forward_mm[0, -1, -1]
    radius, drop = 45.0, 1.5  # the drawn link drops 1.5 mm over its 45
    before, after = np.sqrt(radius**2 + drop**2 - drop**2), np.sqrt(radius**2 + drop**2 - (8 + drop) ** 2)
    assert forward == pytest.approx(before - after, abs=0.02)


@pytest.mark.parametrize("gone", ["panhard", "upper"])
def test_a_link_without_its_points_asks_for_them(gone):
    line = next(line for line in AXLE.splitlines() if line.startswith(gone))

    verdict = verdicts_of(AXLE.replace(line, f"{gone} = {{ length = 80 }}"))["linkage.rear.held"]

    assert verdict.missing == tuple(
        f"running-gear.rear.links.{gone}.{end}.{c}" for end in ("chassis", "axle") for c in "xyz"
    )


def test_a_live_axle_at_the_front_steers():
    text = (
        AXLE.replace("running-gear.rear", "running-gear.front")
        + """
[running-gear.front.steering]
kind = "slide"
slide-lock = 7
"""
    )
    for key, point in {
        "kingpin-lower": (0, 65, 22), "kingpin-upper": (-1, 64, 38), "tie-rod-inner": (-12, -20, 32),
        "tie-rod-outer": (12, 60, 32), "track-rod": (-12, 60, 30),
    }.items():  # fmt: skip
        for axis, value in zip("xyz", point, strict=True):
            text = with_entry(text, f"running-gear.front.{key}.{axis}", value)

    verdicts = verdicts_of(text)

    assert verdicts["linkage.front.bump-steer"].state == "fails"  # a short drag link against a long panhard's arc
    assert verdicts["linkage.front.ackermann"].state == "holds"
    rides_along = verdicts_of(text.replace('kind = "live-axle"', 'kind = "live-axle"\nservo-on-axle = true'))
    assert rides_along["linkage.front.bump-steer"].value == pytest.approx(0, abs=1e-9)


STEERED_AXLE = (
    AXLE.replace("running-gear.rear", "running-gear.front")
    + """
[running-gear.front.steering]
kind = "slide"
slide-lock = 7
"""
)


def steered_axle(**changes):
    text = STEERED_AXLE
    points = {
        "kingpin-lower": (0, 65, 22), "kingpin-upper": (-1, 64, 38), "tie-rod-inner": (-12, -20, 32),
        "tie-rod-outer": (12, 60, 32), "track-rod": (-12, 60, 30),
    }  # fmt: skip
    for key, point in points.items():
        for axis, value in zip("xyz", point, strict=True):
            text = with_entry(text, f"running-gear.front.{key}.{axis}", value)
    for key, value in changes.items():
        text = with_entry(text, key.replace("__", ".").replace("_", "-"), value)
    return text


def test_a_slide_that_runs_a_steered_axle_s_rods_out_is_told():
    verdict = verdicts_of(steered_axle(running_gear__front__steering__slide_lock=25))["linkage.front.ackermann"]

    assert verdict.value is None
    assert "runs out before its stop" in verdict.why


def test_a_drag_link_too_short_for_ride_height_is_told_in_millimetres():
    text = steered_axle(running_gear__front__tie_rod_length=83.5, changes__front__tie_rod_length=45.0)

    verdicts = verdicts_of(text)

    assert verdicts["linkage.front.assembles"].state == "fails"
    assert verdicts["linkage.front.assembles"].value > 1
    assert "misses by" in verdicts["linkage.front.bump-steer"].why


def test_a_longer_drag_link_steers_a_live_axle():
    """1 mm on an arm of 12 mm, at either lock the same way."""
    plain = result_of(steered_axle(running_gear__front__tie_rod_length=83.5)).front.changed.lock_rad
    longer = steered_axle(running_gear__front__tie_rod_length=83.5, changes__front__tie_rod_length=84.5)

    turned = result_of(longer).front.changed.lock_rad

    assert abs(np.degrees(turned[0][0] - plain[0][0])) == pytest.approx(np.degrees(1 / 12), abs=1.5)


def test_taller_tyres_lift_a_live_axle_in_its_chassis_as_they_lift_an_arm():
    """With a ride height told, a tyre 10 mm taller puts the axle 5 mm higher: 5 mm less bump, 5 mm more droop."""
    tyres = "[running-gear.rear.wheel]\ntyre-diameter = 62\ntyre-squash = 1\n"
    tyres += "[wheels.rear]\ntyre-diameter = 72\ntyre-squash = 1\n"
    text = AXLE.replace('kind = "live-axle"', 'kind = "live-axle"\nride-height = 0.5') + tyres

    rear = result_of(text).rear

    assert rear.bought.left_travel_mm[0, [0, -1]] == pytest.approx([-9.5, 10.5], abs=0.6)
    assert rear.changed.left_travel_mm[0, -1] == pytest.approx(rear.bought.left_travel_mm[0, -1] - 5.0, abs=1e-9)


def test_steered_wheels_at_the_rear_have_the_turn_s_inside_on_the_other_side():
    """The same corner fore and aft: what turns its inner wheel in more in front turns it in less behind."""
    rear = TWO_ARMS.replace("running-gear.front", "running-gear.rear")
    rear = rear.replace('drive = "none"', 'drive = "none"\nwheelbase = 270')
    front = TWO_ARMS.replace('drive = "none"', 'drive = "none"\nwheelbase = 270')

    one, other = (result_of(text + "tyre-width = 24\n") for text in (front, rear))

    locked, behind = one.front.changed.lock, other.rear.changed.lock
    assert locked.inner_rad == pytest.approx(behind.outer_rad)
    assert locked.outer_rad == pytest.approx(behind.inner_rad)


def test_a_stud_leans_with_the_hub_that_was_redrawn():
    """5 mm on the lower arm tilts the knuckle by 14 deg, its old tie-rod steers it by 14 more, and the stud goes along.

    19.4745 deg came from solving the six equations of the corner (two circles, the rod, the height) for the knuckle's
    rotation and shift with scipy's least_squares, without any code of ours.
    """
    text = with_entry(TWO_ARMS, "changes.front.arm-longer", 5.0)

    angle = result_of(text).front.changed.joints.angle_rad["tie-rod-outer"]
    left = result_of(text).front.changed.left

    assert np.degrees(angle[0, left.ride, left.straight]) == pytest.approx(19.4745, abs=1e-3)


def test_a_knuckle_whose_upper_arm_does_not_reach_has_no_camber():
    verdicts = verdicts_of(with_entry(TWO_ARMS, "changes.front.upper-arm-longer", 60.0))

    assert verdicts["linkage.front.camber"].value is None
    assert "upper arm misses by" in verdicts["linkage.front.camber"].why
