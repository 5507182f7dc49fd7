"""Changes a builder could make to a radio, and what each costs.

Costs are ours, in steps of trouble: 1 a setting in the transmitter's or receiver's menus; 2 a plug moved, or a setting
made on a device; 3 something to solder, or a Y-lead as well; 6 another device to buy. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from coachwork.build.sections.radio.devices import RECEIVER
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Channel, Control, Device, Setup

MENU, PLUG, SOLDER, BUY = 1, 2, 3, 6


@dataclass(frozen=True)
class Edit:
    """One change, in words, with its cost; `made` gives the changed setup."""

    words: str
    cost: int
    made: Callable[[Setup], Setup]


def _on_channel(name: str, **changed: Any) -> Callable[[Setup], Setup]:
    def made(setup: Setup) -> Setup:
        return setup.with_channel(replace(setup.channel(name), **changed))

    return made


def _on_device(name: str, **changed: Any) -> Callable[[Setup], Setup]:
    def made(setup: Setup) -> Setup:
        return setup.with_device(replace(setup.device(name), **changed))

    return made


def _latching(control: Control) -> Callable[[Setup], Setup]:
    return lambda setup: setup.with_control(replace(control, kind="two-position"))


def _on_output(device: Device, fresh: Channel) -> Callable[[Setup], Setup]:
    def made(setup: Setup) -> Setup:
        others = (one for one in setup.channels if one.name != fresh.name)
        moved = setup.with_device(replace(setup.device(device.name), channel=fresh.name))
        return replace(moved, channels=(*others, fresh))

    return made


def edits_near(setup: Setup, devices: Iterable[str], *, outputs: int | None) -> list[Edit]:
    """The changes that could matter to some devices, cheapest first.

    outputs : how many the receiver has, where that is known: one that no channel uses can take a device
    """
    part = setup.part(devices)
    found: list[Edit] = []
    for channel in part.channels:
        found += [*_failsafes(setup, channel), *_other_controls(setup, channel)]
    for device in part.devices:
        found += [*_settings(setup, device), *_plugs(setup, device, outputs), *_wiring(setup, device)]
        found += _replacements(device)
    return sorted(found, key=lambda edit: edit.cost)


def _failsafes(setup: Setup, channel: Channel) -> Iterator[Edit]:
    at_rest = {name: setup.control(name).rest for name in channel.controls}
    pulse = round(float(pulse_us(channel, at_rest)[0]))
    if channel.failsafe != "preset" or channel.failsafe_us != pulse:
        yield Edit(
            f"set the failsafe of channel {channel.name} to preset at {pulse} us, what it sends at rest",
            MENU,
            _on_channel(channel.name, failsafe="preset", failsafe_us=float(pulse)),
        )
    if channel.failsafe != "off":
        yield Edit(
            f"set the failsafe of channel {channel.name} to no pulse",
            MENU,
            _on_channel(channel.name, failsafe="off", failsafe_us=None),
        )


def _spare(setup: Setup) -> list[str]:
    """Controls of the transmitter that move nothing."""
    used = {name for channel in setup.channels for name in channel.controls}
    return [one.name for one in setup.controls if not one.on_vehicle and one.name not in used]


def _other_controls(setup: Setup, channel: Channel) -> Iterator[Edit]:
    spare = _spare(setup)
    for control in setup.controls:
        if control.on_vehicle or control.name == channel.control:
            continue
        yield Edit(
            f"let {control.name} move channel {channel.name}"
            + (f" in place of {channel.control}" if channel.control else ""),
            MENU if control.name in spare else MENU + 1,
            _on_channel(channel.name, control=control.name),
        )
    for name, _ in channel.mixes:
        left = tuple(mix for mix in channel.mixes if mix[0] != name)
        yield Edit(
            f"take the mix of {name} off channel {channel.name}",
            MENU,
            _on_channel(channel.name, mixes=left),
        )
    for control in setup.controls:
        if control.name in channel.controls and control.can_latch and control.kind == "button":
            yield Edit(
                f"set {control.name} in the transmitter to stay on until it is pressed again",
                MENU,
                _latching(control),
            )


def _settings(setup: Setup, device: Device) -> Iterator[Edit]:
    """What can be set on the device itself."""

    def to(words: str, **changed: Any) -> Edit:
        return Edit(words, PLUG, _on_device(device.name, **changed))

    for setting in device.settable:
        match setting:
            case "starts" if device.starts != device.quiet:
                yield to(f"set {device.name} to wake up {device.modes[device.quiet]}", starts=device.quiet)
            case "memory":
                words = "forget its mode" if device.keeps_memory else "remember its mode"
                yield to(f"set {device.name} to {words} without power", keeps_memory=not device.keeps_memory)
            case "without-pulse":
                words = "go quiet" if device.keeps_without_pulse else "keep its mode"
                yield to(
                    f"set {device.name} to {words} without a pulse", keeps_without_pulse=not device.keeps_without_pulse
                )
            case "counts" if device.kind == "cycling":
                for counts in ("press", "release", "both"):
                    if counts != device.counts:
                        told = "presses and releases" if counts == "both" else f"each {counts}"
                        yield to(f"set {device.name} to count {told}", counts=counts)
            case "when" if device.cuts_us is not None:
                side = "above" if device.below else "below"
                yield to(f"set {device.name} to be on {side} its switching pulse", below=not device.below)
            case "direct" if device.kind != "plain":
                yield from _direct(setup, device)
            case "switches-at":
                yield from (
                    to(f"set {device.name} to switch at {sum(cuts) / 2:.0f} us", cuts_us=cuts)
                    for cuts in _cuts_beside(setup, device)
                )


def _direct(setup: Setup, device: Device) -> Iterator[Edit]:
    """On whenever another accessory is."""
    for other in setup.devices:
        if other.accessory and other.name != device.name and not _fed_through(setup, other.name, device.name):
            yield Edit(
                f"wire {device.name} to the output of {other.name}, so that it is on whenever that is",
                SOLDER,
                _on_device(
                    device.name,
                    kind="plain",
                    channel="",
                    cuts_us=None,
                    powered_by=other.name,
                    powered_when=tuple(i for i in range(len(other.modes)) if i != other.quiet),
                ),
            )


def _cuts_beside(setup: Setup, device: Device) -> list[tuple[float, float]]:
    """Where the others on its channel switch, and halfway from where a proportional one moves to its neutral."""
    assert device.cuts_us is not None
    half = (device.cuts_us[1] - device.cuts_us[0]) / 2
    inside = set()
    for one in setup.devices:
        if one.channel == device.channel and one.kind == "proportional" and one.cuts_us is not None:
            low, high = one.cuts_us
            at = round((3 * low + high) / 4) if device.below else round((low + 3 * high) / 4)
            inside.add((at - half, at + half))
    others = {
        one.cuts_us
        for one in setup.devices
        if one.channel == device.channel and one.kind != "proportional" and one.cuts_us not in (None, device.cuts_us)
    }
    return sorted(inside | {cuts for cuts in others if cuts is not None})


def _plugs(setup: Setup, device: Device, outputs: int | None) -> Iterator[Edit]:
    if not device.channel:
        return
    for channel in setup.channels:
        if channel.name == device.channel:
            continue
        shared = [one.name for one in setup.devices if one.channel == channel.name]
        yield Edit(
            f"plug {device.name} into channel {channel.name}"
            + (f", on a Y-lead with {' and '.join(shared)}" if shared else ""),
            SOLDER if shared else PLUG,
            _on_device(device.name, channel=channel.name),
        )
    number = _free_output(setup, outputs)
    if number is None:
        return
    for control in _spare(setup):
        fresh = Channel(name=f"output {number}", number=number, control=control, failsafe="off")
        yield Edit(
            f"plug {device.name} into the free output {number}, moved by {control}, its failsafe no pulse",
            PLUG,
            _on_output(device, fresh),
        )


def _free_output(setup: Setup, outputs: int | None) -> int | None:
    if outputs is None or any(channel.number is None for channel in setup.channels):
        return None
    return next((n for n in range(1, outputs + 1) if all(one.number != n for one in setup.channels)), None)


def _wiring(setup: Setup, device: Device) -> Iterator[Edit]:
    """Behind a switch on the vehicle, behind a device that feeds others already, or straight to the receiver."""
    if device.powered_by != RECEIVER:
        yield Edit(
            f"feed {device.name} from the receiver, not through {device.powered_by}",
            SOLDER,
            _on_device(device.name, powered_by=RECEIVER, powered_when=()),
        )
    feeding = {one.powered_by: one.powered_when for one in setup.devices if one.powered_when}
    feeding |= {one.name: (1,) for one in setup.controls if one.on_vehicle and len(one.fixed) == 2}
    for source, when in feeding.items():
        if source not in (device.powered_by, device.name) and not _fed_through(setup, source, device.name):
            yield Edit(
                f"feed {device.name} through {source}",
                SOLDER,
                _on_device(device.name, powered_by=source, powered_when=when),
            )


def _fed_through(setup: Setup, name: str, through: str) -> bool:
    """Whether a source hangs on a device itself."""
    return any(one.name == through for one in setup.part([name]).devices)


def _replacements(device: Device) -> Iterator[Edit]:
    if device.kind in ("cycling", "held"):
        yield Edit(
            f"replace {device.name} by one that is {device.modes[1]} as long as its pulse is "
            f"{'below' if device.below else 'above'} {sum(device.cuts_us or (0, 0)) / 2:.0f} us",
            BUY,
            _on_device(device.name, kind="switched", starts=device.quiet, hold_s=None, keeps_memory=False),
        )
