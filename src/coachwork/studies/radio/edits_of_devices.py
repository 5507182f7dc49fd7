"""Changes of a device itself: its settings, the order in which its modes are named, another unit in its place."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coachwork.studies.radio.edit import BUY, MENU, NOT_KNOWN_TO_GO, PLUG, Edit, Kind, drives, on_device
from coachwork.studies.radio.setup import Device, Setup


def edits_of_device(setup: Setup, device: Device) -> Iterator[Edit]:
    """All of them for one device; a setting that is not listed as settable costs more, and says "if it can"."""
    yield from _names(device)
    if not drives(device):
        yield from _settings(setup, device)
    yield from _replacements(device)


def _settings(setup: Setup, device: Device) -> Iterator[Edit]:
    def to(setting: str, kind: Kind, words: str, **changed: Any) -> Edit:
        sure = setting in device.settable
        told = f"set {device.name} to {words}{'' if sure else ', if it can'}"
        return Edit(kind, told, PLUG, on_device(device.name, **changed), more=0 if sure else NOT_KNOWN_TO_GO)

    if device.kind in ("cycling", "held"):
        for mode in (mode for mode in range(len(device.modes)) if mode != device.starts):
            yield to("starts", "start modes", f"wake up {device.modes[mode]}", starts=mode)
        words = "forget its mode" if device.keeps_memory else "remember its mode"
        yield to("memory", "memories", f"{words} without power", keeps_memory=not device.keeps_memory)
    if device.kind != "plain":
        words = "go quiet" if device.keeps_without_pulse else "keep its mode"
        keeps = not device.keeps_without_pulse
        yield to("without-pulse", "settings without a pulse", f"{words} without a pulse", keeps_without_pulse=keeps)
    if device.kind == "cycling":
        for counts in ("press", "release", "both"):
            if counts != device.counts:
                told = "presses and releases" if counts == "both" else f"each {counts}"
                yield to("counts", "what counts as a press", f"count {told}", counts=counts)
    if device.cuts_us is not None and device.kind != "proportional":
        side = "above" if device.below else "below"
        kind: Kind = "the side and pulse of switching"
        yield to("when", kind, f"be on {side} its switching pulse", below=not device.below)
        for cuts in _cuts_beside(setup, device):
            yield to("switches-at", kind, f"switch at {sum(cuts) / 2:.0f} us", cuts_us=cuts)


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


def _names(device: Device) -> Iterator[Edit]:
    """With a proportional device the likeliest slip is one of the file, not of the vehicle: its ends named wrong."""
    if device.kind == "proportional":
        low, middle, high = device.modes
        yield Edit(
            "names of modes",
            f"see on the bench which way {device.name} goes: if it is {high} below its neutral pulse, its modes are "
            f'"{high}, {middle}, {low}"',
            MENU,
            on_device(device.name, below=not device.below),
        )


def _replacements(device: Device) -> Iterator[Edit]:
    if device.kind in ("cycling", "held"):
        yield Edit(
            "another unit",
            f"replace {device.name} by one that is {device.modes[1]} as long as its pulse is "
            f"{'below' if device.below else 'above'} {sum(device.cuts_us or (0, 0)) / 2:.0f} us",
            BUY,
            on_device(device.name, kind="switched", starts=device.quiet, hold_s=None, keeps_memory=False),
        )
