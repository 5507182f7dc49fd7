"""Cures: they work, they break nothing that held, and no cheaper single change would have done."""

from __future__ import annotations

from itertools import islice
from pathlib import Path

import pytest

from coachwork.build import read, read_text
from coachwork.build.sections.radio import Radio
from coachwork.studies.radio import obey
from coachwork.studies.radio.cheapest import cheapest_first
from coachwork.studies.radio.cure import cures
from coachwork.studies.radio.edits import edits_near
from coachwork.studies.radio.from_table import read_setup
from coachwork.studies.radio.judge import judged
from coachwork.studies.radio.verdicts import findings

VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van"

WISHED_CURES = {
    "quiet-start": "mail-sign to wake up off",
    "cab-lamp-with-beacons": "wire cab-lamp to the output of beacons",
    "engine-by-dial": "let dial move channel engine",
    "stops-when-lost": "failsafe of channel throttle to preset at 1500 us",
    "silent-when-lost": "failsafe of channel throttle",
    "buzzer-warns": "reversing-buzzer to switch at 1485 us",
}


@pytest.fixture(scope="module")
def found():
    radio = read(VAN / "as-found")[Radio]
    return read_setup(radio, 0).setup, radio.wished()


@pytest.fixture(scope="module")
def cured(found):
    setup, wishes = found
    refuted = [name for name, wish in wishes.items() if judged(setup, wish).refuted]
    assert set(refuted) == set(WISHED_CURES)
    return cures(setup, wishes, refuted, outputs=8)


def test_each_trouble_of_the_van_gets_the_cure_of_the_finished_one(cured):
    for wish, words in WISHED_CURES.items():
        assert any(words in change for change in cured.shares[wish].changes), wish


def test_the_joint_cure_proves_every_wish(found, cured):
    setup, wishes = found
    edits = {edit.words: edit for edit in edits_near(setup, {one.name for one in setup.devices}, outputs=8)}
    for words in cured.together.changes:
        setup = edits[words].made(setup)

    assert all(judged(setup, wish).proved for wish in wishes.values())
    assert cured.together.cost == sum(edits[words].cost for words in cured.together.changes)
    assert len(cured.together.changes) == 5  # one failsafe cures two wishes


@pytest.mark.parametrize("wish", WISHED_CURES)
def test_no_cheaper_single_change_would_have_done(found, cured, wish):
    """Every change to any device, not only those near the wish, tried one by one."""
    setup, wishes = found
    held = [one for one in wishes.values() if judged(setup, one).proved]
    cheaper = [
        edit
        for edit in edits_near(setup, {one.name for one in setup.devices}, outputs=8)
        if edit.cost < cured.alone[wish].cost
    ]
    for edit in cheaper:
        changed = edit.made(setup)
        works = judged(changed, wishes[wish]).proved and all(judged(changed, one).proved for one in held)
        assert not works, edit.words


def test_what_nothing_cures_is_said_to_have_no_cure(found):
    setup, _ = found
    from coachwork.build.sections.radio.wishes import DeviceIs, Wish

    never = Wish("always", DeviceIs("steering-servo", (0,), "left"), "always steering-servo left")
    answer = cures(setup, {"w": never}, ["w"], outputs=8)

    assert answer.alone == {"w": None}
    assert answer.together is None


def test_pulling_the_plug_is_no_cure(found):
    """A bell that is never on would fulfil `never bell on`; the search does not take that for a cure."""
    setup, _ = found
    from coachwork.build.sections.radio.wishes import DeviceIs, Not, Wish

    never = Wish("always", Not(DeviceIs("delivery-bell", (1,), "on")), "never delivery-bell on")
    assert cures(setup, {"w": never}, ["w"], outputs=8).alone == {"w": None}


STEERED = {"speed-controller", "steering-servo"}


def test_no_cure_touches_stick_plug_or_power_of_what_steers_and_drives(found):
    setup, _ = found
    for edit in edits_near(setup, STEERED, outputs=8):
        changed = edit.made(setup)
        for name in STEERED:
            before, after = setup.device(name), changed.device(name)
            assert (after.channel, after.powered_by) == (before.channel, before.powered_by), edit.words
            was, now = setup.channel(before.channel).controls, changed.channel(after.channel).controls
            assert now == was, edit.words


def test_a_controller_whose_modes_are_named_the_wrong_way_is_doubted_first():
    """Nothing on the vehicle is at fault, so nothing on it is to be changed: swapping the names proves the wishes."""
    path = VAN / "as-finished" / "build.toml"
    text = path.read_text("utf-8")
    assert text.count('modes = "reverse, stopped, forward"') == 1
    text = text.replace('modes = "reverse, stopped, forward"', 'modes = "forward, stopped, reverse"')
    (warns,) = [one for one in findings(obey(read_text(text, path)[Radio])) if one.id == "radio.wish.buzzer-warns"]

    assert warns.do.startswith("see on the bench which way speed-controller goes: if it is reverse below its neutral")
    assert "a look on the bench" in warns.do


def test_what_nothing_cured_is_told_with_what_was_tried(found):
    """Counts by the search itself; kinds by the devices: a servo has no start mode, a sign has."""
    setup, _ = found
    from coachwork.build.sections.radio.wishes import DeviceIs, Wish

    never = Wish("always", DeviceIs("mail-sign", (0,), "off"), "always mail-sign off")
    answer = cures(setup, {"w": never}, ["w"], outputs=None)
    tried = answer.tried["w"]

    assert tried.singles == len(edits_near(setup, {"mail-sign"}, outputs=None))
    assert tried.pairs == 150 < tried.all_pairs
    assert {"start modes", "failsafes", "other controls", "feeding through a switch or device, or direct"} <= set(
        tried.kinds
    )
    assert "free outputs" not in tried.kinds
    assert tried.no_output == "how many outputs the receiver has is not entered"


SIGN = """
[radio.controls]
b = { kind = "button" }
[radio.channels]
c = { number = 1, control = "b", failsafe = "off" }
[radio.devices.sign]
kind = "cycling"
channel = "c"
modes = "off, side, both"
switches-at = 1700
SETTABLE
[radio.wishes]
w = "sign both at power-up"
x = "sign off can be reached"
"""


@pytest.mark.parametrize(
    ("settable", "told"),
    [
        ('settable = "starts"', "set sign to wake up both (a setting on the device)"),
        ("", "set sign to wake up both, if it can (a setting on the device)"),
    ],
)
def test_start_modes_are_tried_whether_or_not_they_are_known_to_be_settable(settable, told):
    (wish,) = [
        one
        for one in findings(obey(read_text(SIGN.replace("SETTABLE", settable), Path("b"))[Radio]))
        if one.id.endswith(".w")
    ]
    assert wish.do == told


def test_the_dearest_combinations_of_many_choices_are_never_made():
    """Forty lists of four: more combinations than could be sorted in a lifetime."""
    first = list(islice(cheapest_first([[1, 2, 3, 4]] * 40, lambda one: one), 64))
    costs = [sum(one) for one in first]
    assert costs == sorted(costs)
    assert (costs[0], costs[1], costs[40], costs[41]) == (40, 41, 41, 42)
