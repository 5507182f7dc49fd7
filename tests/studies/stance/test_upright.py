"""Up from the ground, worked by hand on the build in conftest."""

import pytest


def test_gap_over_the_tyre_is_arch_less_tyre_top(with_, findings_of):
    """Arch 12 + 25 + 44 = 81; tyre's top: axle at 33 - 1, and 33 more: 65."""
    finding = findings_of(with_({}))["stance.front.arch-over-tyre"]

    assert finding.value[0] == pytest.approx(16)


def test_bump_that_is_left_is_what_the_arch_must_clear(with_, findings_of):
    """Bought at ride 12 with a tyre of 64; now 66, so the wheel stands 1 higher: 8 - 1 of bump, and 1 to spare."""
    assert findings_of(with_({}))["stance.front.arch-over-tyre"].limit[0] == pytest.approx(8)


def test_an_arch_too_low_is_told_with_the_amount(with_, findings_of):
    finding = findings_of(with_({"shell.front.top": 33.5}))["stance.front.arch-over-tyre"]

    assert finding.value[0] == pytest.approx(5.5)
    assert "by 2.5 mm" in finding.do
    assert "stop the suspension at 4.5 mm of bump" in finding.do
    assert "tucked 2.5 mm or more rises inside the lip" in finding.do


def test_without_posts_the_shells_ground_line_counts(with_, findings_of):
    """Sill at 35 over the ground by the shell's own measure: 35 + 44 - 65."""
    text = with_({"changes.sill-above-underside": None, "shell.sill-height": 35})

    finding = findings_of(text)["stance.front.arch-over-tyre"]
    assert finding.value[0] == pytest.approx(14)
    assert "ground line" in finding.why


def test_squash_lowers_the_tyres_top_and_the_axle(with_, result_of):
    end = result_of(with_({"wheels.front.tyre-squash": 3})).ends["front"]

    assert end.axle_height_mm[0] == pytest.approx(30)
    assert end.over_tyre.tyre_top_mm[0] == pytest.approx(63)


def test_sill_height_is_posts_and_ride_height_against_the_full_size_vehicles(with_, findings_of):
    """(14 + 12) / 2 + 25 = 38 against 34 at scale: 4 too high."""
    finding = findings_of(with_({"changes.front.ride-height": 14, "prototype.sill-height": 340}))["stance.sill-height"]

    assert finding.value[0] == pytest.approx(4)
    assert finding.do == "make the body posts 4.0 mm shorter, or change both ride heights by as much"


def test_nose_high_is_lowered_in_front(with_, findings_of):
    finding = findings_of(with_({"changes.front.ride-height": 14}))["stance.level"]

    assert finding.value[0] == pytest.approx(-2)
    assert finding.do == "lower the front or raise the rear, 2.0 mm between them"


def test_ride_height_as_bought_counts_where_none_is_planned(with_, result_of):
    text = with_({"changes.rear.ride-height": None, "running-gear.rear.ride-height": 13})

    assert result_of(text).ends["rear"].ride_height_mm[0] == 13


@pytest.mark.parametrize(
    ("changed", "bump", "droop"),
    [
        ({"changes.front.ride-height": 12}, 7, 6),
        ({"changes.front.ride-height": 8}, 3, 10),
        ({"changes.front.ride-height": 17}, 12, 1),
        ({"wheels.front.tyre-diameter": 74}, 3, 10),
        ({"wheels.front.tyre-squash": 2}, 8, 5),
    ],
)
def test_tyre_and_ride_height_take_from_the_travel(with_, findings_of, changed, bump, droop):
    """Bought: tyre 64, squash 1, ride 12, bump 8, droop 5. The wheel rises by its centre's rise less the chassis's."""
    findings = findings_of(with_(changed))

    assert findings["stance.front.bump-left"].value[0] == pytest.approx(bump)
    assert findings["stance.front.droop-left"].value[0] == pytest.approx(droop)


def test_lowered_too_far_is_raised_by_the_amount(with_, findings_of):
    """A third of 8 + 5 should be left: 4.33; 3 is, so 1.3 higher."""
    finding = findings_of(with_({"changes.front.ride-height": 8}))["stance.front.bump-left"]

    assert finding.do == "raise the front ride height by 1.3 mm, or fit tyres 2.7 mm smaller"


def test_travel_is_not_asked_about_where_hubs_were_measured_anew(with_, findings_of):
    findings = findings_of(with_({"changes.front.hardpoints.hub-face.z": 20}))

    assert "stance.front.bump-left" not in findings
    assert "stance.rear.bump-left" in findings


def test_tyre_is_held_against_the_full_size_vehicles_at_scale(with_, findings_of):
    finding = findings_of(with_({"wheels.rear.tyre-diameter": 62}))["stance.rear.tyre-diameter"]

    assert finding.value[0] == pytest.approx(-4)
    assert finding.do == "look for tyres of 66.0 mm, 4.0 mm larger"


@pytest.mark.parametrize(
    ("hole", "fails"), [(42.1, "bead-loose"), (41.9, "bead-loose"), (41, None), (40.0, "bead-stretched")]
)
def test_a_bead_must_grip_and_not_be_stretched_out_of_round(with_, verdicts_of, hole, fails):
    """A seat of 42: between 0.3 mm and 4 % (1.68 mm) of stretch."""
    verdicts = verdicts_of(with_({"wheels.front.bead-diameter": hole}))

    failing = {id for id, v in verdicts.items() if v.state == "fails"}
    assert failing == ({f"stance.front.{fails}"} if fails else set())


def test_a_tyre_narrower_than_its_rim_is_told(with_, findings_of):
    finding = findings_of(with_({"wheels.front.bead-width": 17}))["stance.front.bead-width"]

    assert finding.value[0] == pytest.approx(3)
    assert finding.do == "find a rim 3.0 mm narrower at the seat (17.0 mm), or another tyre"


def test_beads_are_asked_for_only_once_one_is_measured(with_, findings_of):
    keys = ("seat-diameter", "bead-diameter", "seat-width", "bead-width")
    findings = findings_of(with_({f"wheels.front.{key}": None for key in keys}))

    assert not any(id.startswith("stance.front.bead") for id in findings)
