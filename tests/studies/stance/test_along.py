"""Along the vehicle, worked by hand on the build in conftest."""

import numpy as np
import pytest


def test_a_build_that_sits_right_has_nothing_to_do(sits_right, verdicts_of):
    verdicts = verdicts_of(sits_right)

    assert {v.state for v in verdicts.values()} == {"holds"}
    assert all(v.do is None for v in verdicts.values())


def test_wheelbase_is_the_donors_and_the_stretch_against_the_arches(with_, findings_of):
    """240 + 20 = 260 against 246: 14 too much, and 6 of stretch would do, with a shaft of 128 + 6."""
    finding = findings_of(with_({"changes.stretch": 20}))["stance.wheelbase"]

    assert finding.value[0] == pytest.approx(14)
    assert finding.do == (
        "stretch the wheelbase by 6.0 mm: set stretch = 6.0 in [changes], with a centre shaft of 134.0 mm"
    )


def test_a_stretch_left_out_means_as_bought(with_, findings_of):
    finding = findings_of(with_({"changes.stretch": None}))["stance.wheelbase"]

    assert finding.value[0] == pytest.approx(-6)


def test_a_donor_too_long_is_shortened(with_, findings_of):
    finding = findings_of(with_({"running-gear.wheelbase": 251, "changes.stretch": None}))["stance.wheelbase"]

    assert finding.do.startswith("shorten the wheelbase by 5.0 mm: set stretch = -5.0")


@pytest.mark.parametrize(
    ("arch", "wrong", "right"),
    [("front.from-nose-left", 99, 96), ("front.from-nose-right", 92.5, 96), ("rear.from-nose-left", 338, 342),
     ("rear.from-nose-right", 346, 342)],
)  # fmt: skip
def test_one_arch_measured_wrong_is_named_with_the_reading_that_would_agree(with_, verdicts_of, arch, wrong, right):
    verdicts = verdicts_of(with_({f"shell.{arch}": wrong}))

    end, side = arch.split(".")[0], arch.rpartition("-")[2]
    assert {id for id, v in verdicts.items() if v.state == "fails"} == {
        f"stance.{end}.arches-square", "stance.arches-against-wheelbase",
    }  # fmt: skip
    told = verdicts["stance.arches-against-wheelbase"]
    assert told.do == f"measure the {end} arch on the {side} again: {right}.0 mm from the nose would agree"
    assert abs(told.value) == pytest.approx(abs(wrong - right))
    assert verdicts[f"stance.{end}.arches-square"].value == pytest.approx(
        (wrong - right) * (1 if side == "left" else -1)
    )


def test_arches_that_agree_with_each_other_point_to_the_wheelbase(with_, findings_of):
    finding = findings_of(with_({"shell.wheelbase": 249}))["stance.arches-against-wheelbase"]

    assert finding.do == "measure the wheelbase again: 246.0 mm would agree with both sides"


def test_body_set_too_far_forward_is_mounted_further_back(with_, findings_of):
    """The arch's centre 3 mm ahead of the axle: the gaps are 41 - 33 -+ 3 = 5 and 11, so 5 is what is left."""
    findings = findings_of(with_({"changes.front-arch-from-axle": 3}))

    assert findings["stance.front.axle-in-arch"].value[0] == pytest.approx(-3)
    assert findings["stance.front.axle-in-arch"].do == "mount the body 3.0 mm further back"
    assert findings["stance.front.arch-fore-aft"].value[0] == pytest.approx(5)
    assert findings["stance.rear.arch-fore-aft"].value[0] == pytest.approx(5)


def test_axles_too_far_apart_narrow_the_rear_arch(with_, findings_of):
    """The front axle stands right, the rear one 2 mm behind its arch's centre: 8 - 2."""
    findings = findings_of(with_({"changes.stretch": 8}))

    assert findings["stance.front.arch-fore-aft"].value[0] == pytest.approx(8)
    assert findings["stance.rear.arch-fore-aft"].value[0] == pytest.approx(6)
    assert "on the rear side" in findings["stance.rear.arch-fore-aft"].why


def test_an_arch_too_tight_for_a_centred_tyre_is_opened_by_the_amount(with_, findings_of):
    """68 round 66 leaves 1 at each side; 0.5 more at each."""
    finding = findings_of(with_({"shell.arch-opening-front": 68}))["stance.front.arch-fore-aft"]

    assert finding.do == "open the arch by 1.0 mm, or fit tyres 1.0 mm smaller"


@pytest.mark.parametrize(("length", "state"), [(133.5, "holds"), (134.9, "tight"), (132.5, "fails"), (128, "fails")])
def test_centre_shaft_may_be_off_by_half_its_plunge(with_, verdicts_of, length, state):
    """Needed 128 + 6; it slides 2 in all."""
    text = with_({"changes.centre-shaft-length": length, "running-gear.centre-shaft-plunge": "2 ± 0.1"})

    assert verdicts_of(text)["stance.centre-shaft"].state == state


def test_a_shaft_not_replaced_is_short_by_the_stretch(with_, findings_of):
    finding = findings_of(with_({"changes.centre-shaft-length": None}))["stance.centre-shaft"]

    assert finding.value[0] == pytest.approx(-6)
    assert finding.do == "make a centre shaft of 134.0 mm, 6.0 mm longer"


BELT = {
    "running-gear.drive": "belt", "running-gear.belt-pitch": "3 ± 0", "running-gear.belt-teeth": 171,
    "running-gear.belt-take-up": "1.0 ± 0.1",
}  # fmt: skip


@pytest.mark.parametrize(
    ("stretch", "teeth", "left_over"), [(6, 175, 0.0), (7, 176, -0.5), (6.5, 175, 0.5), (-4.5, 168, 0.0)]
)
def test_a_stretch_is_worth_twice_its_length_of_belt(with_, findings_of, stretch, teeth, left_over):
    """By hand: 6 mm are 12 mm of belt, 4 teeth of 3 mm; 7 mm are 4.67 teeth, so 5, half a millimetre too many."""
    finding = findings_of(with_(BELT | {"changes.stretch": stretch}))["stance.belt-whole-teeth"]

    assert finding.value[0] == pytest.approx(left_over, abs=1e-9)
    assert f"{teeth} teeth come nearest" in finding.why


def test_belt_as_bought_is_too_short_for_a_stretch_and_the_tooth_count_is_named(with_, findings_of):
    finding = findings_of(with_(BELT))["stance.belt"]

    assert finding.value[0] == pytest.approx(6)
    assert finding.limit[0] == pytest.approx(0.5)
    assert finding.do == "fit a belt of 175 teeth, which leaves +0.0 mm"


@pytest.mark.parametrize(("teeth", "off", "state"), [(175, 0.2, "holds"), (176, -1.3, "fails"), (174, 1.7, "fails")])
def test_a_belt_of_other_teeth_is_off_by_half_a_pitch_each(with_, verdicts_of, teeth, off, state):
    """A stretch of 6.2: 175 teeth suit 6.0, 176 suit 7.5, 174 suit 4.5; the tensioner takes 0.5."""
    verdict = verdicts_of(with_(BELT | {"changes.belt-teeth": teeth, "changes.stretch": 6.2}))["stance.belt"]

    assert verdict.value == pytest.approx(off, abs=1e-9)
    assert verdict.state == state


def test_stretches_that_come_out_in_whole_and_in_even_teeth_are_named(with_, result_of, findings_of):
    """171 teeth and 6.6 / 1.5 = 4.4 more: 175 (6 mm) or 176 (7.5 mm); of even counts 174 (4.5 mm) or 176."""
    text = with_(BELT | {"changes.stretch": 6.6, "changes.belt-teeth": 175})
    drive = result_of(text).drive

    assert [s[0] for s in drive.even_stretches_mm()] == pytest.approx([6.0, 7.5])
    assert [s[0] for s in drive.even_stretches_mm(even_teeth_only=True)] == pytest.approx([4.5, 7.5])
    assert findings_of(text)["stance.belt-whole-teeth"].do == (
        "a stretch of 6.00 or 7.50 mm comes out in whole teeth (where only even numbers are sold: 4.50 or 7.50 mm)"
    )


def test_the_nearest_belt_is_never_further_off_than_a_quarter_pitch(with_, sampled):
    """Half a pitch of wheelbase a tooth, so at worst half of that; over stretches drawn at random."""
    stretches = np.random.default_rng(3).uniform(-60, 60, 500)

    left = sampled(with_(BELT), {"changes.stretch": stretches})["stance.belt-whole-teeth"].value

    assert np.abs(left).max() <= 3 / 4 + 1e-9
    assert np.abs(left).max() > 0.7  # and the bound is reached, so it is the right one


def test_a_vehicle_without_drive_between_its_ends_is_not_asked_about_one(with_, findings_of):
    findings = findings_of(with_({"running-gear.drive": "none"}))

    assert not any(word in id for id in findings for word in ("shaft", "belt", "drive"))
