"""The study as a whole: blanks cost only what needs them, surprises are told, currents add up, spreads make chances."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import read, read_text, with_entry
from coachwork.build.sections.radio import Radio
from coachwork.confidence import examine
from coachwork.confidence.json_form import json_form
from coachwork.studies.radio import obey
from coachwork.studies.radio.noise import room_of
from coachwork.studies.radio.verdicts import findings


@pytest.fixture(scope="module")
def van():
    from pathlib import Path

    return read(Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished")


@pytest.fixture(scope="module")
def report(van):
    return examine(van, only=["radio"])


def verdict(report, id):
    return next(one for one in report.verdicts if one.id == id)


def test_every_wish_of_the_finished_van_is_proved_with_its_number_of_states(report):
    wishes = [one for one in report.verdicts if one.id.startswith("radio.wish.")]
    assert len(wishes) == 11
    for one in wishes:
        assert one.state == "holds"
        assert "true in all of the" in one.why or one.id == "radio.wish.engine-can-rev"


def test_what_it_draws_is_what_can_be_on_together(van, report):
    """By hand: everything but the own-packed speed controller can be on at once, 60 mA of the receiver included."""
    on_ma = {"steering-servo": 900, "reversing-buzzer": 30, "engine-sound": 350, "delivery-bell": 150, "mail-sign": 80,
             "side-lamps": 60, "head-lamps": 120, "beacons": 90, "cab-lamp": 25}  # fmt: skip
    result = report.answers["radio"].result

    assert result.loads.exact
    assert result.loads.most.current_a[0] == pytest.approx((60 + sum(on_ma.values())) / 1000)
    assert result.loads.at_rest.current_a[0] == pytest.approx((60 + 10 + 2 + 15 + 2 + 1 + 2) / 1000)
    assert verdict(report, "radio.supply").value == pytest.approx(1.865)


def test_two_that_cannot_be_on_together_do_not_add_up():
    """A three-position switch with a low-only and a high-only lamp: the heavier of the two counts."""
    text = """
[radio.receiver]
current = "1 mA"
[radio.controls]
s = { kind = "three-position" }
[radio.channels]
c = { control = "s", failsafe = "off" }
[radio.devices]
one = { kind = "switched", channel = "c", switches-at = 1300, when = "below", current-quiet = 0, current-on = "2 A" }
two = { kind = "switched", channel = "c", switches-at = 1700, current-quiet = 0, current-on = "3 A" }
"""
    text = text.replace('[radio.receiver]\ncurrent = "1 mA"', '[radio.receiver]\ncurrent = "1 mA"')
    result = obey(read_text(text, Path("b"))[Radio])
    assert result.loads.most.current_a[0] == pytest.approx(3.001)
    assert result.loads.most.modes == {"one": "off", "two": "on"}


def test_the_load_states_are_in_the_json(report):
    loads = json_form(report)["results"]["radio"]["loads"]
    assert loads["most"]["modes"]["beacons"] == "turning"
    assert loads["most"]["way"][0]["action"] == "switch on"


def test_a_blank_threshold_costs_only_what_needs_it(van):
    build = read_text(with_entry(van.text, "radio.devices.engine-sound.switches-at", "?"), van.path)
    report = examine(build, only=["radio"])

    waiting = {one.id for one in report.verdicts if one.state == "unmeasured"}
    assert "radio.wish.engine-by-dial" in waiting
    assert "radio.wish.quiet-start" in waiting
    assert "radio.wish.cab-lamp-with-beacons" not in waiting
    assert report.next_steps[0].key == "radio.devices.engine-sound.switches-at"


def test_a_threshold_that_may_lie_elsewhere_makes_a_wish_tight(van):
    """The buzzer switches at 1485 us; known to 20 us only, it may be off while the speed controller reverses."""
    key = "radio.devices.reversing-buzzer.switches-at"
    report = examine(read_text(with_entry(van.text, key, "1485 ± 40 us"), van.path), only=["radio"])

    warns = verdict(report, "radio.wish.buzzer-warns")
    assert warns.value == 0
    assert warns.state == "tight"
    assert warns.chance < 0.9
    assert warns.leads[0].key == key


SURPRISES = """
[radio.controls]
a = { kind = "button" }
b = { kind = "button" }
[radio.channels]
one = { number = 1, control = "a", failsafe = "off" }
two = { number = 2, failsafe = "off" }
three = { number = 3, control = "b", high-end = "10 %", failsafe = "off" }
[radio.devices]
lamp = { kind = "switched", channel = "one", switches-at = 1500 }
sign = { kind = "switched", channel = "one", switches-at = 1600 }
unmoved = { kind = "switched", channel = "two", switches-at = 1700 }
short = { kind = "switched", channel = "three", switches-at = 1700 }
near = { kind = "switched", channel = "one", switches-at = 1990, hysteresis = "4 us" }
[radio.devices.dozing]
kind = "cycling"
channel = "one"
modes = "off, on, bright"
switches-at = 1500
powered-by = "short"
"""


def test_what_nobody_wished_for_is_told():
    told = {one.id: one for one in findings(obey(read_text(SURPRISES, Path("b"))[Radio]))}

    assert told["radio.channel.two.moved"].value[0] == 0
    assert told["radio.device.unmoved.modes"].value[0] == 1
    assert "nothing switches unmoved" in told["radio.device.unmoved.modes"].why
    assert told["radio.device.short.modes"].value[0] == 1, "10 % of 500 us above 1500 is not 1700"
    assert told["radio.device.dozing.modes"].value[0] == 2, "behind a device that is never on"
    assert told["radio.device.lamp.modes"].value[0] == 0
    assert told["radio.apart"].value[0] == 3, "lamp, sign and near hang on one button"
    assert "lamp and sign" in told["radio.apart"].why
    near = told["radio.device.near.clear-of-noise"]
    assert near.value[0] == pytest.approx(2000 - 1992)
    assert near.limit[0] == 4


def test_a_pair_that_a_wish_joins_is_no_surprise():
    joined = SURPRISES + '[radio.wishes]\nw = "lamp on exactly when sign on"\n'
    told = {one.id: one for one in findings(obey(read_text(joined, Path("b"))[Radio]))}
    assert told["radio.apart"].value[0] == 2


def test_a_stick_that_sweeps_through_a_narrow_hysteresis_chatters():
    text = """
[radio.receiver]
noise = "5 us"
[radio.controls]
s = { kind = "stick" }
[radio.channels]
c = { control = "s" }
[radio.devices]
d = { kind = "switched", channel = "c", switches-at = 1700, hysteresis = "6 us" }
"""
    (told,) = [one for one in findings(obey(read_text(text, Path("b"))[Radio])) if one.id.endswith("chatter")]
    assert (told.value[0], told.limit[0]) == (6.0, 10.0)
    assert "hysteresis of 10 us" in told.do


def test_the_room_is_over_every_rest_end_and_failsafe(setup_of):
    setup = setup_of(
        """
[radio.controls]
s = { kind = "stick" }
[radio.channels]
c = { control = "s", failsafe = "preset", failsafe-pulse = 1690 }
[radio.devices]
d = { kind = "switched", channel = "c", switches-at = 1700, hysteresis = "0 us" }
"""
    )
    room = room_of(setup, setup.device("d"))
    assert (room.room_us, room.where) == (10.0, "signal lost")


def test_a_build_without_a_radio_is_asked_nothing():
    report = examine(read_text("", Path("b")), only=["radio"])
    assert report.verdicts == ()
    assert report.next_steps == ()


@pytest.fixture
def few_states(monkeypatch):
    """An explorer that gives up early, as it does on a radio too large to look at."""
    from coachwork.studies.radio import judge

    monkeypatch.setattr(judge.judged, "__kwdefaults__", {**judge.judged.__kwdefaults__, "most_states": 30})
    monkeypatch.setattr(judge.space_of, "__kwdefaults__", {**judge.space_of.__kwdefaults__, "most_states": 30})


@pytest.mark.usefixtures("few_states")
def test_what_was_looked_at_only_in_part_is_tight_and_claims_no_chance(van):
    report = examine(van, only=["radio"])

    silent = verdict(report, "radio.wish.soon-silent")
    assert "no counter-example within 2 actions" in silent.why
    assert (silent.value, silent.state, silent.chance) == (0, "tight", None)
    whole = [one for one in report.verdicts if one.id.startswith("radio.wish.") and one.state == "holds"]
    assert whole, "wishes of few states are proved all the same"
    assert all(one.chance is not None for one in whole)


@pytest.mark.usefixtures("few_states")
def test_a_mode_not_seen_among_some_states_is_neither_used_nor_unused():
    names = ", ".join(f"m{i}" for i in range(40))
    text = f"""
[radio.controls]
a = {{ kind = "button" }}
[radio.channels]
one = {{ number = 1, control = "a", failsafe = "off" }}
[radio.devices]
lamp = {{ kind = "cycling", channel = "one", modes = "{names}", switches-at = 1500 }}
"""
    modes = verdict(examine(read_text(text, Path("b")), only=["radio"]), "radio.device.lamp.modes")

    assert modes.state == "unmeasured"
    assert "m39 not seen in" in modes.why


@pytest.mark.usefixtures("few_states")
def test_the_report_of_it_keeps_to_the_schema(van):
    import jsonschema

    from coachwork.confidence.json_schema import report_schema

    form = json_form(examine(van, only=["radio"]))
    jsonschema.validate(form, report_schema())
    assert any(one["chance"] is None and one["state"] == "tight" for one in form["verdicts"])


LARGE = """
[radio.controls]
""" + "".join(f"s{i} = {{ kind = 'three-position' }}\n" for i in range(10)) + """
[radio.channels]
""" + "".join(f"c{i} = {{ number = {i + 1}, control = 's{i}' }}\n" for i in range(10)) + "".join(
    f"[radio.devices.d{i}]\nkind = 'cycling'\nchannel = 'c{i}'\nmodes = 'off, low, high'\nswitches-at = 1700\n"
    f"current-quiet = 0\ncurrent-on = '{i + 1} A'\n"
    for i in range(10)
) + """
[radio.receiver]
current = "1 A"
[radio.wishes]
w = "always d0 off or d1 off or d2 off or d3 off or d4 off or d5 off or d6 off or d7 off or d8 off"
"""  # fmt: skip


def test_a_run_that_is_no_longer_wanted_stops_inside_the_exploration():
    """Asked for the hundredth time, long before nine devices and their switches are looked at."""
    from itertools import count

    from coachwork.plan import Cancelled, Plan

    asked, told = count(), []
    with pytest.raises(Cancelled, match="radio"):
        Plan().run(read_text(LARGE, Path("b")), only=["radio"], cancelled=lambda: next(asked) > 300, tell=told.append)

    assert any("states" in words and "actions deep" in words for words in told)
    assert next(asked) < 310, "it stops at once"


def test_the_heaviest_of_many_parts_that_share_nothing_is_known_without_their_product():
    """Ten lamps on ten switches: 1 + 1 + 2 + ... + 10 A by hand; their product has far too many states."""
    result = obey(read_text(LARGE.split("[radio.wishes]")[0], Path("b"))[Radio])

    assert result.loads.exact
    assert result.loads.most.current_a[0] == pytest.approx(1 + 10 * 11 / 2)
    assert len(result.loads.most.way) == 1 + 10, "one press each"


def test_parts_that_share_nothing_but_the_signal_are_not_added_up_blindly():
    """One lamp is on only without a signal, the other only with one: 1 A of the receiver and the heavier of the two."""
    text = """
[radio.receiver]
current = "1 A"
[radio.controls]
a = { kind = "button" }
b = { kind = "button" }
[radio.channels]
one = { control = "a", high-end = "10 %", failsafe = "preset", failsafe-pulse = 2000 }
two = { control = "b", failsafe = "off" }
[radio.devices]
lost = { kind = "switched", channel = "one", switches-at = 1700, current-quiet = 0, current-on = "2 A" }
there = { kind = "switched", channel = "two", switches-at = 1700, current-quiet = 0, current-on = "3 A" }
"""
    result = obey(read_text(text, Path("b"))[Radio])
    assert result.loads.exact
    assert result.loads.most.current_a[0] == pytest.approx(1 + 3)
    assert result.loads.most.modes == {"lost": "off", "there": "on"}
