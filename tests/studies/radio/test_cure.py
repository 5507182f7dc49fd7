"""Cures: they work, they break nothing that held, and no cheaper single change would have done."""

from __future__ import annotations

import pytest

from coachwork.build import read
from coachwork.build.sections.radio import Radio
from coachwork.studies.radio.cure import cures
from coachwork.studies.radio.edits import edits_near
from coachwork.studies.radio.from_table import read_setup
from coachwork.studies.radio.judge import judged

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
    from pathlib import Path

    radio = read(Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-found")[Radio]
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
