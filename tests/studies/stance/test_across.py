"""Across the vehicle: inset's sign, tuck, track; worked by hand on the build in conftest."""

import numpy as np
import pytest


def test_positive_inset_draws_the_wheel_inward(with_, result_of):
    """ISO 4000-1's sense (from memory): mounting face outboard of the centre plane, so the wheel sits further in."""
    seats = [result_of(with_({"wheels.front.inset": inset})).ends["front"].seat for inset in (0, 4, -4)]

    assert [seat.centre_mm[0] for seat in seats] == [80, 76, 84]
    assert [seat.track_mm[0] for seat in seats] == [160, 152, 168]


def test_backspace_says_the_same_as_inset_without_a_sign(with_, result_of):
    """Backspace = half the rim's width + inset: 24 / 2 + 4 = 16."""
    text = with_({"wheels.front.inset": None, "wheels.front.backspace": 16})

    assert result_of(text).ends["front"].seat.centre_mm[0] == 76


def test_arms_and_spacers_carry_the_wheel_outward(with_, result_of):
    text = with_({"changes.front.arm-longer": 9, "changes.front.hub-spacer": 1.5})

    assert result_of(text).ends["front"].seat.centre_mm[0] == 74 + 9 + 1.5 - 4


def test_sides_that_differ_count_half_each(with_, result_of):
    """Right hub face at -76 where the left is at 74: a track of (74 + 6) + (76 + 6) - 8."""
    text = with_({"running-gear.front.right.hub-face.y": -76})

    assert result_of(text).ends["front"].seat.track_mm[0] == pytest.approx(154)


@pytest.mark.parametrize(
    ("inset", "fails", "words"),
    [
        (1.5, "tyre-sticks-out", "move each wheel 2.5 mm in: inset +4.0 mm instead of +1.5 mm"),
        (
            6.5,
            "tyre-too-deep",
            "move each wheel 2.5 mm out: inset +4.0 mm instead of +6.5 mm, or a spacer of 2.5 mm more",
        ),
    ],
)
def test_a_tyre_too_far_out_or_in_is_told_with_the_inset_that_would_do(with_, verdicts_of, inset, fails, words):
    verdicts = verdicts_of(with_({"wheels.front.inset": inset}))

    assert {id for id, v in verdicts.items() if v.state == "fails" and "tyre" in id} == {f"stance.front.{fails}"}
    assert words in verdicts[f"stance.front.{fails}"].do


def test_what_the_cure_says_cures(with_, verdicts_of):
    """Follow the advice for each of the three ways, and both findings hold."""
    wrong = {"wheels.front.inset": 6.5}
    for cure in ({"wheels.front.inset": 4.0}, {"changes.front.hub-spacer": 2.5}, {"changes.front.arm-longer": 8.5}):
        verdicts = verdicts_of(with_(wrong | cure))
        assert verdicts["stance.front.tyre-too-deep"].state == "holds"
        assert verdicts["stance.front.tyre-sticks-out"].state == "holds"


def test_inset_read_with_the_sellers_sign_is_asked_about(with_, findings_of):
    """-4 for +4: 8 mm too far out, and the other sign would put it right."""
    finding = findings_of(with_({"wheels.front.inset": -4}))["stance.front.tyre-sticks-out"]

    assert finding.value[0] == pytest.approx(1.5 - 8)
    assert "is the inset's sign the seller's? With +4.0 mm the wheel would stand right" in finding.do


def test_insets_alike_but_for_their_sign_are_asked_about(with_, findings_of):
    """-6 in front, where +6 would be too deep, but the rear wheels have +6."""
    text = with_({"wheels.front.inset": -6, "wheels.rear.inset": 6, "changes.front.arm-longer": 4})

    finding = findings_of(text)["stance.front.tyre-sticks-out"]
    assert finding.do.startswith(
        "is the inset's sign the seller's? The rear wheels have +6.0 mm; measure the backspace"
    )


def test_sign_is_not_asked_about_where_the_other_one_would_not_help(with_, findings_of):
    finding = findings_of(with_({"wheels.front.inset": -1}))["stance.front.tyre-sticks-out"]

    assert "sign" not in finding.do


def test_a_backspace_is_not_accused_of_a_wrong_sign(with_, findings_of):
    text = with_({"wheels.front.inset": None, "wheels.front.backspace": 8})

    finding = findings_of(text)["stance.front.tyre-sticks-out"]
    assert finding.value[0] == pytest.approx(1.5 - 8)
    assert "sign" not in finding.do


def test_more_than_wheels_reach_is_a_matter_of_arms(with_, findings_of):
    finding = findings_of(with_({"changes.front.arm-longer": -5}))["stance.front.tyre-too-deep"]

    assert finding.do.startswith("move each wheel 11.0 mm out: arms 11.0 mm longer, with shafts")


def test_without_planned_wheels_those_bought_count_and_it_says_so(with_, findings_of):
    """All of [wheels.front] gone; the donor's wheel has inset 2, so the tyre ends 2 mm further out."""
    gone = ["tyre-diameter", "tyre-width", "tyre-squash", "rim-width", "inset", "seat-diameter", "bead-diameter",
            "seat-width", "bead-width"]  # fmt: skip
    text = with_({f"wheels.front.{key}": None for key in gone})
    text = with_({"running-gear.front.wheel.inset": 2, "running-gear.front.wheel.tyre-width": 22}, text)

    findings = findings_of(text)
    assert findings["stance.front.tyre-sticks-out"].value[0] == pytest.approx(-0.5)
    assert "as bought" in findings["stance.front.tyre-sticks-out"].why
    assert "as planned" in findings["stance.rear.tyre-sticks-out"].why


def test_track_is_held_against_the_full_size_vehicles_at_scale(with_, findings_of):
    """1600 at 1:10 is 160; the model's 152 is 8 narrow, and the arches say why."""
    finding = findings_of(with_({"prototype.track-front": 1600}))["stance.front.track"]

    assert finding.value[0] == pytest.approx(-8)
    assert finding.limit[0] == pytest.approx(4.0)  # 2.5 % of 160
    assert finding.do == (
        "follow the arches, which ask for 152.0 mm: over its wheels the shell is 8.0 mm narrower than the full-size "
        "vehicle at scale"
    )


def test_track_off_under_arches_that_agree_is_put_right_by_moving_the_wheels(with_, findings_of):
    finding = findings_of(with_({"wheels.front.inset": 0}))["stance.front.track"]

    assert finding.value[0] == pytest.approx(8)
    assert finding.do == "bring each wheel 4.0 mm in"


def test_scale_comes_from_the_dimensions_where_none_is_stated(with_, findings_of):
    finding = findings_of(with_({"build.scale": None}))["stance.front.track"]

    assert finding.value[0] == pytest.approx(0, abs=1e-9)


def test_moving_the_wheel_moves_the_tuck_one_to_one(with_, sampled):
    """Derivatives by hand: spacer -1, inset +1, tyre width -1/2, lip to lip +1/2, hub face -1."""
    slopes = {
        "changes.front.hub-spacer": -1.0, "wheels.front.inset": 1.0, "wheels.front.tyre-width": -0.5,
        "shell.front.across": 0.5, "running-gear.front.hub-face.y": -1.0,
    }  # fmt: skip
    at = {
        "changes.front.hub-spacer": 0.0, "wheels.front.inset": 4.0, "wheels.front.tyre-width": 22.0,
        "shell.front.across": 177.0, "running-gear.front.hub-face.y": 74.0,
    }  # fmt: skip
    text = with_({"changes.front.hub-spacer": 0})
    for key, slope in slopes.items():
        tuck = sampled(text, {key: np.array([at[key], at[key] + 0.3])})["stance.front.tyre-sticks-out"].value
        assert tuck[1] - tuck[0] == pytest.approx(0.3 * slope), key
