"""Changes in the menus of transmitter and receiver: failsafes, which control moves a channel, mixes, reverse."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from coachwork.studies.radio.edit import MENU, NOT_KNOWN_TO_GO, OTHERS_USE_IT, Edit, drives, on_channel
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Channel, Control, Setup


def edits_of_channel(setup: Setup, channel: Channel) -> Iterator[Edit]:
    """All of them for one channel."""
    yield from _failsafes(setup, channel)
    yield from _other_controls(setup, channel)
    yield from _mixes(channel)
    yield from _latching(setup, channel)
    yield Edit(
        "reversed channels",
        f"{'take the reverse off' if channel.reverse else 'reverse'} channel {channel.name} in the transmitter",
        MENU,
        on_channel(channel.name, reverse=not channel.reverse),
    )


def _failsafes(setup: Setup, channel: Channel) -> Iterator[Edit]:
    at_rest = {name: setup.control(name).rest for name in channel.controls}
    pulse = round(float(pulse_us(channel, at_rest)[0]))
    if channel.failsafe != "preset" or channel.failsafe_us != pulse:
        yield Edit(
            "failsafes",
            f"set the failsafe of channel {channel.name} to preset at {pulse} us, what it sends at rest",
            MENU,
            on_channel(channel.name, failsafe="preset", failsafe_us=float(pulse)),
        )
    if channel.failsafe != "off":
        yield Edit(
            "failsafes",
            f"set the failsafe of channel {channel.name} to no pulse",
            MENU,
            on_channel(channel.name, failsafe="off", failsafe_us=None),
        )


def spare_controls(setup: Setup) -> list[str]:
    """Controls of the transmitter that move nothing."""
    used = {name for channel in setup.channels for name in channel.controls}
    return [one.name for one in setup.controls if not one.on_vehicle and one.name not in used]


def _other_controls(setup: Setup, channel: Channel) -> Iterator[Edit]:
    """Nobody takes throttle or steering off its stick to cure a lamp."""
    if channel.control and any(drives(one) for one in setup.devices if one.channel == channel.name):
        return
    spare = spare_controls(setup)
    for control in setup.controls:
        if not control.on_vehicle and control.name != channel.control:
            yield Edit(
                "other controls",
                f"let {control.name} move channel {channel.name}"
                + (f" in place of {channel.control}" if channel.control else ""),
                MENU,
                on_channel(channel.name, control=control.name),
                more=0 if control.name in spare else OTHERS_USE_IT,
            )


def _mixes(channel: Channel) -> Iterator[Edit]:
    for name, _ in channel.mixes:
        left = tuple(mix for mix in channel.mixes if mix[0] != name)
        words = f"take the mix of {name} off channel {channel.name}"
        yield Edit("mixes", words, MENU, on_channel(channel.name, mixes=left))


def _latching(setup: Setup, channel: Channel) -> Iterator[Edit]:
    for control in setup.controls:
        if control.name in channel.controls and control.kind == "button":
            words = f"set {control.name} in the transmitter to stay on until it is pressed again"
            more = 0 if control.can_latch else NOT_KNOWN_TO_GO
            yield Edit(
                "buttons that latch", f"{words}{', if it can' if more else ''}", MENU, _latched(control), more=more
            )


def _latched(control: Control) -> Callable[[Setup], Setup]:
    return lambda setup: setup.with_control(replace(control, kind="two-position"))
