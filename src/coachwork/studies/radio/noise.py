"""How far pulses stay clear of where devices switch, against their noise; plain numbers, no states."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Device, Setup


@dataclass(frozen=True)
class Room:
    """The least distance between a pulse that a control rests at and a cut of a device.

    room_us : how far apart
    pulse_us, cut_us : which two
    where   : in which positions of the controls, in words; or "signal lost"
    """

    room_us: float
    pulse_us: float
    cut_us: float
    where: str


def room_of(setup: Setup, device: Device) -> Room:
    """Over every rest, end and detent of the controls that move the device's channel, and its set failsafe."""
    assert device.cuts_us is not None
    channel = setup.channel(device.channel)
    controls = [setup.control(name) for name in channel.controls]
    found: list[Room] = []
    for positions in product(*(control.fixed for control in controls)):
        at = {control.name: position for control, position in zip(controls, positions, strict=True)}
        pulse = float(pulse_us(channel, at)[0])
        where = " and ".join(f"{one.name} at {one.told(at[one.name])}" for one in controls) or "nothing that moves it"
        found += [Room(abs(pulse - cut), pulse, cut, where) for cut in device.cuts_us]
    if channel.failsafe_us is not None:
        found += [
            Room(abs(channel.failsafe_us - cut), channel.failsafe_us, cut, "signal lost") for cut in device.cuts_us
        ]
    return min(found, key=lambda room: room.room_us)
