"""Changes of plugs and leads: another output, a free one, another device's output, power through a switch or direct."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from coachwork.build.sections.radio.devices import OWN_PACK, RECEIVER
from coachwork.studies.radio.edit import NOT_KNOWN_TO_GO, OTHERS_USE_IT, PLUG, SOLDER, Edit, drives, on_device
from coachwork.studies.radio.edits_of_channels import spare_controls
from coachwork.studies.radio.setup import Channel, Device, Setup


def edits_of_wiring(setup: Setup, device: Device, outputs: int | None) -> Iterator[Edit]:
    """All of them for one device; what steers or drives stays where it is.

    outputs : how many the receiver has, where that is known: one that no channel uses can take a device
    """
    if not drives(device):
        yield from _plugs(setup, device)
        yield from _free_outputs(setup, device, outputs)
        yield from _to_an_output(setup, device)
        yield from _feeding(setup, device)


def _plugs(setup: Setup, device: Device) -> Iterator[Edit]:
    for channel in setup.channels:
        if device.channel and channel.name != device.channel:
            shared = [one.name for one in setup.devices if one.channel == channel.name]
            yield Edit(
                "other outputs",
                f"plug {device.name} into channel {channel.name}"
                + (f", on a Y-lead with {' and '.join(shared)}" if shared else ""),
                SOLDER if shared else PLUG,
                on_device(device.name, channel=channel.name),
            )


def _free_outputs(setup: Setup, device: Device, outputs: int | None) -> Iterator[Edit]:
    number = free_output(setup, outputs)
    if not device.channel or number is None:
        return
    spare = spare_controls(setup)
    for control in setup.controls:
        if not control.on_vehicle:
            fresh = Channel(name=f"output {number}", number=number, control=control.name, failsafe="off")
            yield Edit(
                "free outputs",
                f"plug {device.name} into the free output {number}, moved by {control.name}, its failsafe no pulse",
                PLUG,
                _on_output(device, fresh),
                more=0 if control.name in spare else OTHERS_USE_IT,
            )


def free_output(setup: Setup, outputs: int | None) -> int | None:
    """The first output that no channel uses; None where there is none, or it is not known."""
    if outputs is None or any(channel.number is None for channel in setup.channels):
        return None
    return next((n for n in range(1, outputs + 1) if all(one.number != n for one in setup.channels)), None)


def _on_output(device: Device, fresh: Channel) -> Callable[[Setup], Setup]:
    def made(setup: Setup) -> Setup:
        others = (one for one in setup.channels if one.name != fresh.name)
        moved = setup.with_device(replace(setup.device(device.name), channel=fresh.name))
        return replace(moved, channels=(*others, fresh))

    return made


def _to_an_output(setup: Setup, device: Device) -> Iterator[Edit]:
    """On whenever another accessory is."""
    if device.kind == "plain":
        return
    sure = "direct" in device.settable
    for other in setup.devices:
        if other.accessory and other.name != device.name and not _fed_through(setup, other.name, device.name):
            yield Edit(
                "wiring to another device's output",
                f"wire {device.name} to the output of {other.name}, so that it is on whenever that is"
                + ("" if sure else ", if it can do without a pulse"),
                SOLDER,
                on_device(
                    device.name,
                    kind="plain",
                    channel="",
                    cuts_us=None,
                    powered_by=other.name,
                    powered_when=tuple(i for i in range(len(other.modes)) if i != other.quiet),
                ),
                more=0 if sure else NOT_KNOWN_TO_GO,
            )


def _feeding(setup: Setup, device: Device) -> Iterator[Edit]:
    """Behind a switch on the vehicle, behind a device that feeds others already, or straight to the receiver."""
    if device.powered_by != RECEIVER:
        instead = "its own pack" if device.powered_by == OWN_PACK else f"through {device.powered_by}"
        yield Edit(
            "feeding through a switch or device, or direct",
            f"feed {device.name} from the receiver, not {'from ' if device.powered_by == OWN_PACK else ''}{instead}",
            SOLDER,
            on_device(device.name, powered_by=RECEIVER, powered_when=()),
        )
    feeding = {one.powered_by: one.powered_when for one in setup.devices if one.powered_when}
    feeding |= {one.name: (1,) for one in setup.controls if one.on_vehicle and len(one.fixed) == 2}
    for source, when in feeding.items():
        if source not in (device.powered_by, device.name) and not _fed_through(setup, source, device.name):
            yield Edit(
                "feeding through a switch or device, or direct",
                f"feed {device.name} through {source}",
                SOLDER,
                on_device(device.name, powered_by=source, powered_when=when),
            )


def _fed_through(setup: Setup, name: str, through: str) -> bool:
    """Whether a source hangs on a device itself."""
    return any(one.name == through for one in setup.part([name]).devices)
