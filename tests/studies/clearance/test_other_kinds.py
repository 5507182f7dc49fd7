"""Live axles, two arms with a slide, an anti-roll bar: poses and distances. The vehicles are invented."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text
from coachwork.confidence import examine
from coachwork.plan import Plan

AXLE = """
[running-gear]
drive = "none"
wheelbase = 270
[running-gear.rear]
kind = "live-axle"
ride-height = 0.5
bump-travel = 10
droop-travel = 10
hub-face = [0, 80, 30]
link-diameter = 4
rod-end-diameter = 8
damper-diameter = 12
damper-inner = [30, 45, 70]
damper-outer = [20, 45, 32]
damper-stroke = 30
[running-gear.rear.links]
lower-left = { chassis = [90, 30, 24], axle = [0, 40, 25] }
lower-right = { chassis = [90, -30, 24], axle = [0, -40, 25] }
upper = { chassis = [80, 10, 40], axle = [0, 10, 42] }
panhard = { chassis = [-10, 50, 35], axle = [-10, -50, 35] }
[running-gear.rear.wheel]
tyre-diameter = 64
tyre-width = 20
tyre-squash = 1.5
tyre-growth = 0
tyre-bulge = 0
tyre-crown = 500
tyre-shoulder = 2
rim-width = 18
seat-diameter = 40
inset = 0
[running-gear.rear.wheel.rim-inside]
only = { depth = 0, diameter = 36 }
[envelopes.shelf]
kind = "box"
end = "rear"
corner = [-60, 60, 85]
opposite = [60, 100, 90]
"""


def run(text):
    build = read_text(text, Path("build.toml"))
    plan = Plan()
    return build, plan, plan.run(build, only=["clearance"])["clearance"].result


@pytest.fixture(scope="module")
def axle():
    return run(AXLE)


def test_a_tyre_on_a_live_axle_rises_and_leans_with_both_wheels(axle):
    """The hub's height and lean in roll: 160 between hub faces, the left wheel up by 10, the right one down by 10."""
    corner = axle[2].scene.ends["rear"].sides["left"].tyre.corner

    bodies = corner.bodies(np.array([[0.0, 0, 0], [1.0, 0, -1.0], [1.0, 0.0, 1.0]]))
    hub = bodies.at("knuckle", np.array([[0.0, 80.0, 30.0]]))
    across = bodies.turn("knuckle", np.array([[0.0, 1.0, 0.0]]))

    assert hub[0] == pytest.approx([-270, 80, 30], abs=1e-6)
    assert across[1, 2] == pytest.approx(20 / 160, abs=1e-6)
    assert hub[1, 2] == pytest.approx(30 + 10, abs=1e-6)
    assert hub[2, 2] == pytest.approx(30 + 10, abs=1e-6)
    assert "rolled by +7.2 deg" in str(corner.pose(np.array([1.0, 0, -1.0])))
    assert "rolled" not in str(corner.pose(np.array([1.0, 0, 1.0])))


def test_the_right_wheel_is_where_the_same_axle_puts_it(axle):
    """Both corners solve for one axle: the right one sees it in the mirror, and mirrors it back."""
    left, right = (axle[2].scene.ends["rear"].sides[side].tyre.corner for side in ("left", "right"))

    by_left = left.bodies(np.array([[0.7, 0.0, -0.2]]))
    by_right = right.bodies(np.array([[-0.2, 0.0, 0.7]]))  # its own wheel's travel comes first

    point = np.array([[-10.0, 50.0, 35.0]])
    mirrored = point * [1, -1, 1]
    np.testing.assert_allclose(by_left.at("axle", mirrored), by_right.at("axle", point), atol=1e-6)


def test_the_shelf_over_the_tyre_is_met_in_full_bump(axle):
    """Level in full bump the tyre's top is at 30 + 10 + 32; rolled, its outer edge rises above that."""
    contact = axle[2].rear.closest["tyre-parts"].contacts
    shelf = next(one for one in contact if one.other == "shelf")

    level = 85 - (30 + 10 + 32)
    assert shelf.moving == "rear left tyre"
    assert shelf.distance_mm[0] < level
    # The hub stays at 40 over the datum, the wheel leans by arcsin(1/8): its top at the edge, rounded by 2 mm; the
    # tread's radius of 500 takes 8^2 / 1000 off there.
    lean = np.arcsin(20 / 160)
    top = 40 + (32 - 2 - 0.064) * np.cos(lean) + (10 - 2) * np.sin(lean) + 2
    assert shelf.distance_mm[0] == pytest.approx(85 - top, abs=0.005)
    assert shelf.pose.roll_rad[0] == pytest.approx(lean, abs=1e-3)


def test_a_live_axle_has_no_question_about_drive_shafts_and_all_others_are_answered(axle):
    build, plan, result = axle

    assert "shaft" not in result.rear.closest
    report = examine(build, plan=plan, only=["clearance"])
    states = {verdict.id: verdict.state for verdict in report.verdicts if ".rear." in verdict.id}
    assert states.pop("clearance.rear.tyre-shell") == "unmeasured"  # there is no shell
    assert set(states.values()) <= {"holds", "tight", "fails"}
    chance = {verdict.id: verdict.chance for verdict in report.verdicts if verdict.value is not None}
    assert all(0 <= value <= 1 for value in chance.values())


BAR = """
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
[running-gear.front.anti-roll-bar]
bearing = [40, 20, 30]
lever = [20, 30, 30]
on-arm = [18, 42, 12]
diameter = 2
[running-gear.front.steering]
kind = "slide"
slide-lock = 5
[envelopes.tower]
kind = "cylinder"
axis-from = [20, 30, 35]
axis-to = [20, 30, 60]
diameter = 5
"""


def test_an_anti_roll_bars_lever_keeps_its_distance_from_bar_and_arm():
    """Two rigid lengths: lever's ball to the bar's line, and to its ball on the arm, in every pose."""
    result = run(BAR)[2]
    corner = result.scene.ends["front"].sides["left"].bar.corner

    bodies = corner.bodies(corner.grid)
    ball = bodies.at("anti-roll-bar", np.array([[20.0, 30, 30]]))
    on_arm = bodies.at("arm", np.array([[18.0, 42, 12]]))

    np.testing.assert_allclose(np.hypot(ball[:, 0] - 40, ball[:, 2] - 30), 20.0, atol=1e-9)
    np.testing.assert_allclose(np.linalg.norm(on_arm - ball, axis=-1), np.linalg.norm([2, 12, 18]), atol=1e-9)
    assert np.ptp(ball[:, 2]) > 3, "it moves"
    nearest = result.front.closest["anti-roll-bar"].worst
    highest = ball[:, 2].max()
    assert nearest.other == "tower"
    assert nearest.distance_mm[0] < 35 - 30 - 1
    assert nearest.distance_mm[0] == pytest.approx(35 - highest - 1, abs=0.6)  # it also moves back, past the edge


def test_a_steering_slide_carries_its_ball(axle):
    result = run(BAR)[2]
    corner = result.scene.ends["front"].sides["left"].steering[0].corner

    ball = corner.bodies(np.array([[0.0, 1.0, 0.0]])).at("bell-crank", np.array([[-13.0, 20.0, 18.0]]))

    assert abs(ball[0, 1] - 20) == pytest.approx(5.0)
