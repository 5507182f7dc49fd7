"""What each kind of device does with presses, time, power and no pulse, in the words of docs/radio.md."""

from __future__ import annotations

import pytest

from coachwork.studies.radio.actions import actions_of
from coachwork.studies.radio.rehearsal import rehearsed

HEAD = """
[radio.controls]
button = { kind = "button" }
trigger = { kind = "stick", positions = "reverse, stopped, forward" }
feed = { kind = "two-position", at = "vehicle" }
[radio.channels]
one = { number = 1, control = "button", failsafe = "off" }
two = { number = 2, control = "trigger", failsafe = "hold" }
[radio.devices]
"""
CASES = {
    "a switched one is on while pressed": (
        'd = { kind = "switched", channel = "one", switches-at = 1500 }',
        "press button; let go of button",
        ["off", "on", "off"],
    ),
    "below its pulse, where it says so": (
        'd = { kind = "switched", channel = "one", switches-at = 1500, when = "below" }',
        "press button; let go of button",
        ["on", "off", "on"],
    ),
    "a cycling one goes on at each press": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, modes = "off, dim, bright" }',
        "press button; let go of button; press button; let go of button; press button",
        ["off", "dim", "dim", "bright", "bright", "off"],
    ),
    "or at each release": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, counts = "release" }',
        "press button; let go of button",
        ["off", "off", "on"],
    ),
    "or at both": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, counts = "both" }',
        "press button; let go of button",
        ["off", "on", "off"],
    ),
    "with a hold time a short press counts when it ends": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, hold-time = "1 s" }',
        "press button; wait 0.5 s; let go of button",
        ["off", "off", "off", "on"],
    ),
    "and a long one goes to its mode and is no short one": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, modes = "off, dim, bright", hold-time = "1 s", '
        'held-mode = "bright" }',
        "press button; wait 1 s; let go of button",
        ["off", "off", "bright", "bright"],
    ),
    "a held one does not mind a short press": (
        'd = { kind = "held", channel = "one", switches-at = 1500, hold-time = "1 s" }',
        "press button; wait 0.9 s; let go of button; press button; wait 1 s",
        ["off", "off", "off", "off", "off", "on"],
    ),
    "a proportional one follows, and holds without a signal where the receiver does": (
        'd = { kind = "proportional", channel = "two", neutral = 1500, dead-band = 40 }',
        "trigger to full forward; trigger to reverse; lose the signal; trigger to stopped; the signal returns",
        ["neutral", "forward", "reverse", "reverse", "reverse", "neutral"],
    ),
    "one that waits for neutral stays there until it has seen it": (
        'd = { kind = "proportional", channel = "two", neutral = 1500, dead-band = 40, waits-for-neutral = true }',
        "trigger to forward; power off and on; trigger to reverse; trigger to stopped; trigger to reverse",
        ["neutral", "forward", "neutral", "reverse", "neutral", "reverse"],
    ),
    "without a pulse it goes quiet": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, without-pulse = "quiet" }',
        "press button; lose the signal; the signal returns",
        ["off", "on", "on", "off"],  # its press ends with the pulse, and comes again with it
    ),
    "or keeps what it saw": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, without-pulse = "keeps" }',
        "press button; lose the signal; the signal returns",
        ["off", "on", "on", "on"],
    ),
    "a plain one has power or not": (
        'd = { kind = "plain", powered-by = "feed" }',
        "feed to on; feed to off",
        ["dark", "on", "dark"],
    ),
    "behind a switch it forgets": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, powered-by = "feed" }',
        "feed to on; press button; feed to off; feed to on",
        ["dark", "off", "on", "dark", "off"],
    ),
    "or remembers": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, powered-by = "feed", memory = "kept" }',
        "feed to on; press button; feed to off; feed to on",
        ["dark", "off", "on", "dark", "on"],
    ),
    "a press that is there at power-up is none": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500 }',
        "press button; power off and on",
        ["off", "on", "off"],
    ),
    "one with a pack of its own does not mind the main switch": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, powered-by = "own pack" }',
        "press button; let go of button; power off and on",
        ["off", "on", "on", "on"],
    ),
    "a time-out ends a mode, a new press begins one": (
        'd = { kind = "cycling", channel = "one", switches-at = 1500, time-out = "2 s" }',
        "press button; wait 1.9 s; wait 0.1 s; let go of button; press button",
        ["off", "on", "on", "off", "off", "on"],
    ),
    "a switched one that timed out waits to be let go": (
        'd = { kind = "switched", channel = "one", switches-at = 1500, time-out = "2 s" }',
        "press button; wait 2 s; trigger to forward; let go of button; press button",
        ["off", "on", "off", "off", "off", "on"],
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_device_does_what_its_kind_says(setup_of, name):
    device, actions, modes = CASES[name]
    setup = setup_of(HEAD + device)

    beats = rehearsed(setup, actions_of([actions], setup))

    assert [beat.step.modes["d"] for beat in beats] == modes


def test_devices_fed_through_one_another_go_dark_together(setup_of):
    setup = setup_of(
        HEAD
        + 'lamp = { kind = "plain", powered-by = "relay" }\n'
        + 'relay = { kind = "switched", channel = "one", switches-at = 1500, powered-by = "feed" }\n'
    )
    beats = rehearsed(setup, actions_of(["feed to on; press button; feed to off"], setup))

    assert [tuple(beat.step.modes[name] for name in ("relay", "lamp")) for beat in beats] == [
        ("dark", "dark"), ("off", "dark"), ("on", "on"), ("dark", "dark"),
    ]  # fmt: skip


def test_noise_counts_presses_where_a_rest_lies_too_near(setup_of):
    """A button that rests at 1000 us on a device that takes a press at 1002: jitter of 4 us presses it."""
    setup = setup_of(
        '[radio.receiver]\nnoise = "4 us"\n' + HEAD
        + 'd = { kind = "cycling", channel = "one", switches-at = 1002, hysteresis = "2 us" }'
    )  # fmt: skip
    beats = rehearsed(setup, actions_of(["noise lifts d; noise lowers d; noise lifts d"], setup))

    assert [beat.step.modes["d"] for beat in beats] == ["off", "on", "on", "off"]


def test_names_may_be_shared_between_control_channel_and_device(setup_of):
    """A horn button that moves the horn channel, on which the horn hangs, beside a device called signal."""
    setup = setup_of(
        """
[radio.controls]
horn = { kind = "three-position" }
[radio.channels]
horn = { number = 1, control = "horn", failsafe = "hold" }
[radio.devices]
horn = { kind = "switched", channel = "horn", switches-at = 1700 }
signal = { kind = "switched", channel = "horn", switches-at = 1300 }
"""
    )
    beats = rehearsed(setup, actions_of(["horn to middle; horn to high; lose the signal"], setup))

    assert [tuple(beat.step.modes.values()) for beat in beats] == [
        ("off", "off"), ("off", "on"), ("on", "on"), ("on", "on"),
    ]  # fmt: skip
