"""The radio table: wishes understood, or sent back with the nearest form; faults between its keys, with their lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import read_text
from coachwork.build.sections.radio import Radio
from coachwork.errors import BuildRefused

TABLE = """\
[radio.controls]
trigger = { kind = "stick", positions = "reverse, stopped, forward" }
dial = { kind = "dial" }
bell-button = { kind = "button" }
night-switch = { kind = "two-position", at = "vehicle" }
[radio.channels]
throttle = { number = 2, control = "trigger" }
[radio.devices]
engine-sound = { kind = "switched", channel = "throttle", modes = "silent, revving", switches-at = 1600 }
beacons = { kind = "cycling", channel = "throttle", modes = "off, steady, flashing", switches-at = 1600 }
buzzer = { kind = "switched", channel = "throttle", switches-at = 1400, when = "below" }
[radio.wishes]
"""
LINE = TABLE.count("\n") + 1  # of the wish


def wished(text: str) -> str:
    return str(read_text(f'{TABLE}w = "{text}"\n', Path("b"))[Radio].wished()["w"])


def fault(text: str, table: str = TABLE):
    with pytest.raises(BuildRefused) as caught:
        read_text(table + text, Path("b"))
    (one,) = caught.value.faults
    return one


@pytest.mark.parametrize(
    ("text", "understood"),
    [
        ("The beacons are on exactly when the buzzer is on", "beacons on exactly when buzzer on"),
        ("engine sound silent unless dial raised", "engine-sound silent unless dial raised"),
        ("Everything is off at power-up.", "everything off at power-up"),
        ("signal lost: engine-sound silent", "engine-sound silent on signal loss"),
        ("one action from anywhere to all quiet", "one action from anywhere to everything off"),
        ("beacons and buzzer off on signal loss", "beacons off and buzzer off on signal loss"),
        ("if the trigger is reverse then buzzer on", "buzzer on whenever trigger reverse"),
        ("everything but beacons off at any power up", "everything but beacons off at any power-up"),
        ("never (beacons on and not dial above 30 %)", "never beacons on and dial not above 30 %"),
        ("no beacons at power-up", "beacons not on at power-up"),
        ("the buzzer isn't on at power-up", "buzzer not on at power-up"),
        ("neither beacons nor buzzer on signal loss", "beacons not on and buzzer not on on signal loss"),
        ("nothing but beacons is on at power-up", "everything but beacons off at power-up"),
        ("nothing is on when the signal is lost", "everything off on signal loss"),
        ("the buzzer must never be on", "never buzzer on"),
        ("beacons cannot be on unless the dial is raised", "beacons not on unless dial raised"),
        ("beacons never on whenever the buzzer is on", "beacons not on whenever buzzer on"),
        ("beacons flashing can never be reached", "never beacons flashing"),
        ("if the trigger is not reverse then the buzzer is not on", "buzzer not on whenever trigger not reverse"),
    ],
)
def test_a_wish_is_told_back_in_our_words(text, understood):
    assert wished(text) == understood


@pytest.mark.parametrize(
    "text", ["never beacons on and buzzer on or engine-sound revving", "always not (buzzer on or beacons off)"]
)
def test_what_is_told_back_reads_the_same(text):
    assert wished(wished(text)) == wished(text)


@pytest.mark.parametrize(
    ("text", "pieces", "nearest"),
    [
        ("beacon on exactly when buzer on", "understood nothing", "beacons on exactly when buzzer on"),
        ("beacons blinking exactly when buzzer on", 'understood "beacons"', "beacons on exactly when buzzer on"),
        ("beacons on when buzzer on", '"beacons on", not "when buzzer on"', "beacons on exactly when buzzer on"),
        ("beacons on", 'understood "beacons on", and there it ends', "always beacons on"),
        ("beacons off at startup", 'understood "beacons off", not "at startup"', "beacons off at power-up"),
        ("two presses from anywhere to all off", "understood nothing", "two actions from anywhere to everything off"),
        ("always beacons steady or", 'understood "always", "beacons steady"', "always beacons steady"),
        ("beacon flashes when reversing", "understood nothing", "beacons flashing exactly when trigger reverse"),
        ("no beacons at startup", 'understood "beacons not on"', "beacons not on at power-up"),
        ("beacons not on when buzzer on", 'understood "beacons not on"', "beacons not on whenever buzzer on"),
        ("engine never revs at power-up", "understood nothing", "engine-sound not revving at power-up"),
        ("beacons off when not reversing", "beacons off", "beacons off exactly when trigger not reverse"),
        ("no beacons without the buzzer", 'understood "no", "beacons"', "beacons not on unless buzzer on"),
        ("buzzer dark at power-up", 'understood "buzzer"', "buzzer off at power-up"),
        ("beacons nevr on", 'understood "beacons"', "never beacons on"),
    ],
)  # fmt: skip
def test_a_wish_that_cannot_be_read_shows_what_was_understood_and_the_nearest_that_reads(text, pieces, nearest):
    one = fault(f'w = "{text}"\n')

    assert (one.key, one.line) == ("radio.wishes.w", LINE)
    assert pieces in one.read
    assert f'"{nearest}"' in one.wanted
    assert wished(nearest) == nearest


@pytest.mark.parametrize(
    "text",
    [
        "make it nice", "lights go out when the signal goes away", "not", "no action from anywhere to beacons on",
        "nobody hears the buzzer at power-up", "beacons neither on nor off", "signal not lost: buzzer off",
        "beacons on when frobbing", "everything off at start but not beacons",
        "none of beacons and buzzer on at power-up",
    ],
)  # fmt: skip
def test_where_nothing_comes_near_the_forms_are_told_and_no_wish_is_made_up(text):
    """A denial or a clause that cannot be read is never left out to make the rest read."""
    told = fault(f'w = "{text}"\n').wanted

    assert "nearest" not in told
    assert "A exactly when B, A only when B" in told
    assert "docs" not in told, "whoever installs a package has no docs"


@pytest.mark.parametrize("denial", ["not", "never", "no", "isn't", "cannot be", "neither", "hardly", "nobody"])
def test_a_denial_put_in_anywhere_is_never_answered_with_the_wish_without_it(denial):
    """Wherever it stands, and whatever else is wrong, the wish that reads or is offered is another one."""
    for plain in ("beacons flashing when reversing", "buzzer on at startup", "engine revving only if dial raised"):
        words = plain.split()
        offered = meant_by(plain)
        assert offered
        for at in range(len(words) + 1):
            text = " ".join([*words[:at], denial, *words[at:]])
            denied = meant_by(text)
            assert denied != offered, text
            assert denied == "" or " not " in f" {denied}" or denied.startswith("never"), (text, denied)


def test_words_that_stand_in_several_names_are_tried_as_each():
    """On the van a button is named after the beacons, a buzzer after reversing, and two things can be at reverse."""
    van = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-found" / "build.toml"
    text = van.read_text("utf-8").replace('"everything is off at power-up"', '"beacon flashes when reversing"')
    with pytest.raises(BuildRefused) as caught:
        read_text(text, van)
    (one,) = caught.value.faults
    assert 'the nearest wish that reads: "beacons flashing exactly when trigger reverse"' in one.wanted


def meant_by(text: str) -> str:
    """The wish, or the nearest that is offered, or nothing."""
    try:
        return wished(text)
    except BuildRefused as refused:
        (one,) = refused.faults
        return one.wanted.split('"')[-2] if "the nearest wish" in one.wanted else ""


def test_whatever_is_typed_the_nearest_form_reads():
    """Each word of a long wish left out or put twice in turn."""
    words = ["engine-sound", "revving", "only", "when", "dial", "above", "30", "%", "and", "trigger", "forward"]
    for i in range(len(words)):
        for changed in (
            words[:i] + words[i + 1 :],
            [*words[:i], words[i], *words[i:]],
            [*words[:i], "wobble", *words[i:]],
        ):
            text = " ".join(changed)
            try:
                wished(text)
            except BuildRefused as refused:
                (one,) = refused.faults
                assert "the nearest wish" in one.wanted or "the forms are" in one.wanted
                if nearest := meant_by(text):
                    assert wished(nearest) == nearest, text


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('control = "trigger"', 'control = "triger"', 'read "triger", which is no control; did you mean trigger?'),
        ('control = "trigger"', 'control = "night-switch"', "night-switch is on the vehicle; a channel is moved by"),
        ('"cycling", channel = "throttle"', '"cycling", channel = "trottle"', "did you mean throttle?"),
        ('modes = "silent, revving"', 'modes = "silent, idling, revving"', "read 3 names; a switched device has two"),
        ('modes = "off, steady, flashing"', 'modes = "off, off"', "two or more different names are wanted"),
        ('positions = "reverse, stopped, forward"', 'positions = "back, front"', "a stick has 3 positions"),
        ('"below" }', '"below", powered-by = "beecons" }', "which is no source of power; did you mean beacons?"),
        ('"below" }', '"below", powered-by = "buzzer" }', "power runs in a circle: buzzer through buzzer"),
        ('"below" }', '"below", powered-by = "beacons", powered-when = "blue" }', "which is no mode of beacons"),
        ('"below" }', '"below", starts = "onn" }', "which is no mode; did you mean on?"),
        ('"below" }', '"below", settable = "colour" }', "which is no setting"),
        ('kind = "two-position", at', 'kind = "dial", at', "on the vehicle there are switches and buttons"),
        ('{ kind = "button" }', '{ kind = "button", rest = "middle" }', "a button rests low or high"),
    ],
)  # fmt: skip
def test_what_does_not_fit_together_is_said_with_its_line(old, new, told):
    assert TABLE.count(old) == 1
    one = fault("", TABLE.replace(old, new))

    assert told in str(one)
    assert one.line == TABLE[: TABLE.index(old)].count("\n") + 1


def test_a_wish_of_no_device_is_none():
    assert "speaks of no device" in fault('w = "always dial raised"\n').read


def test_one_name_for_two_things_cannot_be_spoken_of():
    text = TABLE.replace("buzzer = {", "dial = {")
    assert 'a control is called "dial" too' in fault('w = "always dial on"\n', text).read


def test_blank_wishes_and_names_wait():
    radio = read_text(TABLE.replace('control = "trigger"', 'control = "?"') + 'w = "?"\n', Path("b"))[Radio]
    assert radio.wished() == {}


def test_a_device_may_be_called_like_the_control_that_moves_it_while_no_wish_speaks_of_it():
    text = TABLE.replace("buzzer = {", "dial = {")
    assert "dial" in read_text(text, Path("b"))[Radio].devices
