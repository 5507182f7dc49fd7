"""What a change on the running gear does, from the build file to the number: signs and sizes a builder can check."""

import numpy as np
import pytest

from coachwork.studies.linkage.result import Variant
from coachwork.studies.parts import Blocked, Missing

FRONT = "changes__front__"


def at_ride(variant, array):
    return float(array[0, variant.left.ride, variant.left.straight])


def test_nothing_changed_is_as_bought(van_text, result_of):
    """The drawn pose is the measured one: camber and toe come back as they went in."""
    text = van_text[: van_text.index("[changes]")]

    front = result_of(text.replace("[wheels.front]", "[wheels.front]\n#").split("[wheels.front]")[0]).front

    for state in (front.bought, front.changed):
        assert np.degrees(at_ride(state, state.left.camber_rad)) == pytest.approx(-1.5, abs=1e-9)
        assert np.degrees(at_ride(state, state.left.toe_in_rad)) == pytest.approx(0.0, abs=1e-9)
    assert front.changed.left.camber_rad == pytest.approx(front.bought.left.camber_rad, abs=1e-12)


def test_a_shorter_arm_with_the_old_link_leans_the_top_out(edited, verdicts_of):
    """4 mm off the arm and none off the link, 33 mm above the hub pin: about 4/33 rad, less what caster takes."""
    verdict = verdicts_of(edited(changes__front__camber_link_length=36.1))["linkage.front.camber"]

    assert verdict.state == "fails"
    assert verdict.value == pytest.approx(np.degrees(4 / 33), abs=1.0)


def test_a_longer_tie_rod_behind_the_axle_toes_in(edited, verdicts_of):
    """The rod pushes the arm behind the axle outward, so the front edge turns in: 1 mm on 15 mm of arm, 3.8 deg."""
    before = verdicts_of(edited())["linkage.front.toe"].value
    after = verdicts_of(edited(changes__front__tie_rod_length=44.5))["linkage.front.toe"].value

    assert after - before == pytest.approx(np.degrees(1 / 14.6), abs=0.3)


def test_shaft_left_long_is_pushed_together_by_what_the_arm_lost(edited, verdicts_of):
    verdicts = verdicts_of(edited(changes__front__shaft_length="?"))

    bottoms = verdicts["linkage.front.shaft-bottoms"]
    fitted = verdicts_of(edited())["linkage.front.shaft-bottoms"]
    assert bottoms.state == "fails"
    assert bottoms.value - fitted.value == pytest.approx(4.0, abs=0.05)


def test_raised_tie_rod_ball_makes_bump_steer_of_the_size_the_arc_says(edited, verdicts_of):
    """Ball up by d: the rod's end swings in by (z - d)^2 / 2L instead of z^2 / 2L, so toe slopes by d / L / arm.

    5 mm up, rod 43.5 mm, arm 14.6 mm: 0.45 deg for each mm of travel, 3.4 deg in 7.6 mm of bump or 2.1 in 4.8 of droop.
    """
    verdict = verdicts_of(edited(changes__front__hardpoints__tie_rod_inner__z=23.0))["linkage.front.bump-steer"]

    assert verdict.state == "fails"
    assert verdict.value == pytest.approx(3.4, abs=0.9)  # the arms' own arc gives or takes the rest


@pytest.mark.parametrize(
    ("question", "spoil", "link"),
    [
        ("camber", {"changes__front__camber_link_length": 34.0}, "camber_link_longer_mm"),
        ("toe", {"changes__front__tie_rod_length": 42.9}, "tie_rod_longer_mm"),
        ("shaft-bottoms", {"changes__front__shaft_length": 58.0}, "shaft_longer_mm"),
    ],
)
def test_doing_what_the_verdict_says_cures_it(edited, verdicts_of, result_of, question, spoil, link):
    """The cure put back into the file and everything computed again: no formula of the cure is used to check it."""
    id, spoilt, ((key, length),) = f"linkage.front.{question}", edited(**spoil), spoil.items()
    before = verdicts_of(spoilt)[id]
    longer = float(np.ravel(getattr(result_of(spoilt).front.cure, link))[0])

    cured = verdicts_of(edited(spoilt, **{key: length + longer}))[id]

    assert before.state == "fails"
    assert f"{abs(longer):.1f} mm {'longer' if longer > 0 else 'shorter'}" in before.do
    assert cured.state in ("holds", "tight")
    if cured.sense == "within":
        assert cured.value == pytest.approx(0.0, abs=1e-6)


def test_raising_the_ball_by_what_is_advised_leaves_the_bump_steer_that_was_promised(edited, verdicts_of, result_of):
    spoilt = edited(changes__front__hardpoints__tie_rod_inner__z=23.0)
    cure = result_of(spoilt).front.cure
    higher, left = (float(np.ravel(value)[0]) for value in (cure.tie_rod_inner_higher_mm, cure.least_bump_steer_rad))
    # The advice keeps toe at ride height, which asks for a rod to match.
    moved = edited(spoilt, changes__front__hardpoints__tie_rod_inner__z=23.0 + higher)
    again = float(np.ravel(result_of(moved).front.cure.tie_rod_longer_mm)[0])
    cured = edited(moved, changes__front__tie_rod_length=43.5 + again)

    verdict = verdicts_of(cured)["linkage.front.bump-steer"]

    assert verdict.state == "holds"
    assert verdict.value == pytest.approx(np.degrees(left), abs=0.05)  # toe at ride height differs by what was advised


def test_ball_joint_binds_in_droop_only(edited, verdicts_of):
    """The upper hole and a longer droop: fine at ride height and in bump, over the limit at the stop."""
    verdict = verdicts_of(
        edited(
            changes__rear__hardpoints__camber_link_inner__z=42.0,
            changes__rear__camber_link_length="?",
            running_gear__rear__droop_travel=10.0,
        )
    )["linkage.rear.camber-link-inner-angle"]

    assert verdict.state == "fails"
    assert "in full droop" in verdict.why


def test_the_further_the_kingpin_lies_inboard_the_further_the_tyre_sweeps(edited, result_of):
    """Common practice, no source: a long scrub radius swings the tyre fore and aft in its arch."""
    swept = []
    for backspace in (15.0, 12.0, 9.0):  # less inset puts the tyre further out
        ground = result_of(edited(wheels__front__backspace=backspace)).front.changed.ground
        scrub = ground.kingpin.scrub_radius_mm
        swept.append((float(np.ravel(scrub)[0]), float(np.nanmax(np.abs(ground.sweep_mm)))))

    assert swept == sorted(swept)
    assert swept[-1][1] > swept[0][1] + 2.0


def test_inset_is_positive_when_the_mounting_face_is_outboard(edited, result_of):
    """More inset pulls the wheel inboard (ISO 4000-1's sign): the contact point moves in by as much."""

    def contact(**change):
        front = result_of(edited(**change)).front.changed
        return float(front.ground.contact_mm[0, front.left.ride, front.left.straight, 1])

    assert contact(wheels__front__inset=6.0) == pytest.approx(contact(wheels__front__inset=4.0) - 2.0, abs=0.01)
    assert contact(wheels__front__backspace=15.0) == pytest.approx(contact(wheels__front__inset=4.0), abs=1e-9)


def test_a_tie_rod_that_cannot_reach_at_lock_is_told_with_its_pose_and_millimetres(edited, verdicts_of):
    verdict = verdicts_of(edited(running_gear__front__steering__lock="60 deg"))["linkage.front.assembles"]

    assert verdict.state == "fails"
    assert verdict.value < -0.5
    assert f"tie-rod misses by {-verdict.value:.1f} mm" in verdict.why
    assert "at full lock" in verdict.why


def test_a_linkage_that_does_not_go_together_at_ride_height_says_so_and_the_rear_still_answers(
    edited, result_of, verdicts_of
):
    text = edited(changes__front__camber_link_length=90.0)

    front, verdicts = result_of(text).front, verdicts_of(text)

    assert isinstance(front.changed, Blocked)
    assert "misses by" in verdicts["linkage.front.camber"].why
    assert verdicts["linkage.front.assembles"].state == "fails"
    assert verdicts["linkage.rear.camber"].state == "holds"


def test_sides_measured_apart_are_computed_apart(edited, result_of):
    text = edited() + "\n[running-gear.front.right]\ntie-rod-outer = [-14.0, 71.5, 20.2]\n"

    front = result_of(text).front.changed

    assert front.right is not front.left
    right_bump_steer = (
        front.right.toe_in_rad[0, -1, front.right.straight]
        - front.right.toe_in_rad[0, front.right.ride, front.right.straight]
    )
    left_bump_steer = (
        front.left.toe_in_rad[0, -1, front.left.straight]
        - front.left.toe_in_rad[0, front.left.ride, front.left.straight]
    )
    assert abs(np.degrees(right_bump_steer - left_bump_steer)) > 0.3


def test_left_and_right_lock_are_mirror_images_where_the_sides_are_alike(result_of, van_text):
    lock = result_of(van_text).front.changed.lock

    assert lock.right_rad == pytest.approx(-lock.left_rad[:, ::-1], abs=1e-12)
    assert lock.left_rad[0, -1] > 0  # positive input steers left


@pytest.mark.parametrize("gone", ["arm-pin-rear", "kingpin-upper", "hub-face", "tie-rod-inner"])
def test_a_point_that_is_not_measured_is_named_and_the_other_end_still_answers(van_text, result_of, gone):
    start = van_text.index(f"{gone} = ", van_text.index("[running-gear.front]"))
    text = van_text[:start] + van_text[van_text.index("\n", start) :]

    result = result_of(text)

    assert isinstance(result.front.changed, Missing)
    assert result.front.changed.keys == tuple(f"running-gear.front.{gone}.{axis}" for axis in "xyz")
    assert isinstance(result.rear.changed, Variant)


def test_a_new_link_asks_for_the_old_one(edited, result_of):
    """A difference of two links held in the callipers is worth more than the distance of two points."""
    missing = result_of(edited(running_gear__front__camber_link_length="?")).front.changed

    assert isinstance(missing, Missing)
    assert missing.keys == ("running-gear.front.camber-link-length",)


def test_raised_ride_height_lengthens_bump_and_shortens_droop(edited, result_of):
    """The stops stop the arm, not the wheel."""

    def travel(ride_height):
        left = result_of(edited(changes__front__ride_height=ride_height)).front.changed.left
        return left.travel_mm[0, [0, -1]]

    low, high = travel(9.0), travel(11.0)
    assert high - low == pytest.approx([2.0, 2.0], abs=1e-6)


RIGHT = "\n[running-gear.front.right]\n"


def test_the_worse_side_is_the_one_told_of(edited, verdicts_of):
    """A right tie-rod's ball 6 mm higher than the left one's: the right wheel steers over bumps, the left does not."""
    alike = verdicts_of(edited())["linkage.front.bump-steer"]
    apart = verdicts_of(edited() + RIGHT + "tie-rod-inner = [-16.0, 24.0, 24.0]\n")["linkage.front.bump-steer"]

    assert alike.state == "holds"
    assert apart.state == "fails"
    assert apart.why.startswith("on the right, the worse side")


def test_a_right_tie_rod_that_does_not_reach_is_told_and_no_angle_is_made_up(edited, verdicts_of):
    verdicts = verdicts_of(
        edited(running_gear__front__steering__lock="45 deg") + RIGHT + "tie-rod-outer = [-9.0, 71.5, 18.2]\n"
    )

    assert verdicts["linkage.front.assembles"].state == "fails"
    for id in ("linkage.front.ackermann", "linkage.front.turning-circle"):
        assert verdicts[id].value is None
        assert "runs out" in verdicts[id].why


def test_a_gearbox_moved_out_pushes_the_old_shaft_together(edited, verdicts_of):
    """The shaft was measured on the donor: its cup 4 mm nearer to the wheel takes 4 mm of its room."""
    before = verdicts_of(edited())["linkage.front.shaft-bottoms"]
    after = verdicts_of(edited(changes__front__hardpoints__shaft_inner__y=19.0))["linkage.front.shaft-bottoms"]

    assert after.value - before.value == pytest.approx(4.0, abs=0.1)
    assert after.state == "fails"


@pytest.mark.parametrize(("ride_height", "way"), [(60.0, "low"), (-20.0, "high")])
def test_a_ride_height_out_of_the_arms_reach_is_told_not_taken_for_reached(edited, verdicts_of, ride_height, way):
    text = (
        edited(changes__front__ride_height=ride_height)
        if ride_height > 0
        else edited(wheels__front__tyre_diameter=170.0, changes__front__ride_height=5.0)
    )

    verdicts = verdicts_of(text)

    assert verdicts["linkage.front.assembles"].state == "fails"
    assert "out of reach" in verdicts["linkage.front.camber"].why or "misses" in verdicts["linkage.front.camber"].why
    assert verdicts["linkage.front.camber"].value is None


def test_the_tyre_sweeps_in_the_room_that_stance_leaves_it(edited, verdicts_of):
    """An axle 2 mm off the middle of its arch has 2 mm less on one side."""
    middle = verdicts_of(edited())["linkage.front.tyre-sweep"].limit
    off = verdicts_of(edited(changes__front_arch_from_axle=2.0))["linkage.front.tyre-sweep"].limit

    assert middle - off == pytest.approx(2.0, abs=0.01)
