"""A radio as plain numbers, which cures can change and a compiler can read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from coachwork.build.sections.radio.devices import RECEIVER

MIDDLE_US = 1500.0  # of the pulses of the trade, 1000 to 2000 us fifty times a second; common practice, no source
FULL_THROW_US = 500.0
SURE_POSITIONS = {"two-position": (-1.0, 1.0), "button": (-1.0, 1.0), "three-position": (-1.0, 0.0, 1.0)}


@dataclass(frozen=True, kw_only=True)
class Control:
    """What a hand moves, from -1 to 1.

    positions : its named positions' names, low to high
    swept     : whether it passes through all between (stick, dial) or jumps (switch, button)
    """

    name: str
    kind: Literal["stick", "dial", "two-position", "three-position", "button"]
    on_vehicle: bool
    rest: float
    positions: tuple[str, ...]
    can_latch: bool = False

    @property
    def swept(self) -> bool:
        """Whether it moves through everything between two positions."""
        return self.kind in ("stick", "dial")

    @property
    def fixed(self) -> tuple[float, ...]:
        """Positions in which it can be left without care: its detents, its rest, its ends."""
        return SURE_POSITIONS.get(self.kind) or tuple(sorted({-1.0, self.rest, 1.0}))

    def told(self, position: float) -> str:
        """A position in words.

        >>> Control(name="dial", kind="dial", on_vehicle=False, rest=-1, positions=("low", "mid", "high")).told(0.5)
        '75 %'
        """
        if not self.swept:
            return self.positions[SURE_POSITIONS[self.kind].index(position)]
        if position == 0.0 or abs(position) == 1.0:
            end = self.positions[round(position) + 1]
            return end if position == 0.0 or "end" in end else f"full {end}"
        percent = 50 * (position + 1) if self.kind == "dial" else 100 * position
        return f"{round(percent, 2):zg} %"


@dataclass(frozen=True, kw_only=True)
class Channel:
    """From controls to a pulse; shares and ends as fractions of the full throw."""

    name: str
    number: int | None = None
    control: str = ""
    mixes: tuple[tuple[str, float], ...] = ()
    reverse: bool = False
    low_end: float = 1.0
    high_end: float = 1.0
    sub_trim_us: float = 0.0
    rate: float = 1.0
    expo: float = 0.0
    full_throw_us: float = FULL_THROW_US
    failsafe: Literal["hold", "off", "preset"] = "hold"
    failsafe_us: float | None = None

    @property
    def controls(self) -> tuple[str, ...]:
        """All that move it, its own first."""
        return tuple(dict.fromkeys([self.control, *(name for name, _ in self.mixes)] if self.control else []))


@dataclass(frozen=True, kw_only=True)
class Device:
    """A small machine on an output.

    cuts_us : the two pulses between which it keeps what it does (switches) or stands at neutral (proportional)
    below   : on or pressed below them, not above; of a proportional device: its modes go from high pulses to low
    """

    name: str
    kind: Literal["proportional", "switched", "cycling", "held", "plain"]
    modes: tuple[str, ...]
    quiet: int
    channel: str = ""
    cuts_us: tuple[float, float] | None = None
    below: bool = False
    counts: Literal["press", "release", "both"] = "press"
    hold_s: float | None = None
    held_mode: int = 0
    time_out_s: float | None = None
    starts: int = 0
    keeps_memory: bool = False
    keeps_without_pulse: bool = False
    waits_for_neutral: bool = False
    powered_by: str = RECEIVER
    powered_when: tuple[int, ...] = ()
    accessory: bool = True
    settable: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Setup:
    """All of it. Devices stand after those they are powered through."""

    controls: tuple[Control, ...]
    channels: tuple[Channel, ...]
    devices: tuple[Device, ...]
    noise_us: float = 0.0

    def control(self, name: str) -> Control:
        """By its name."""
        return next(one for one in self.controls if one.name == name)

    def channel(self, name: str) -> Channel:
        """By its name."""
        return next(one for one in self.channels if one.name == name)

    def device(self, name: str) -> Device:
        """By its name."""
        return next(one for one in self.devices if one.name == name)

    def with_control(self, new: Control) -> Setup:
        """A copy with the control of this name exchanged."""
        return replace(self, controls=tuple(new if one.name == new.name else one for one in self.controls))

    def with_channel(self, new: Channel) -> Setup:
        """A copy with the channel of this name exchanged."""
        return replace(self, channels=tuple(new if one.name == new.name else one for one in self.channels))

    def with_device(self, new: Device) -> Setup:
        """A copy with the device of this name exchanged, all of them again in the order of their power."""
        return replace(
            self, devices=in_order_of_power(tuple(new if one.name == new.name else one for one in self.devices))
        )

    def part(self, devices: Iterable[str], controls: Iterable[str] = ()) -> Setup:
        """What decides the states of some devices, and some controls besides: nothing else can touch them."""
        known = {one.name: one for one in self.devices}
        wanted = set(devices) & known.keys()
        while more := {known[name].powered_by for name in wanted} & known.keys() - wanted:
            wanted |= more
        kept = tuple(one for one in self.devices if one.name in wanted)
        channels = tuple(one for one in self.channels if one.name in {device.channel for device in kept})
        moving = {name for channel in channels for name in channel.controls} | {one.powered_by for one in kept}
        chosen = tuple(one for one in self.controls if one.name in moving | set(controls))
        return replace(self, controls=chosen, channels=channels, devices=kept)


def in_order_of_power(devices: tuple[Device, ...]) -> tuple[Device, ...]:
    """Devices after those that feed them; raises ValueError where power runs in a circle."""
    done: dict[str, Device] = {}
    left = list(devices)
    names = {one.name for one in devices}
    while left:
        fed = [one for one in left if one.powered_by not in names or one.powered_by in done]
        if not fed:
            raise ValueError(f"power runs in a circle: {', '.join(one.name for one in left)}")
        done |= {one.name: one for one in fed}
        left = [one for one in left if one.name not in done]
    return tuple(done.values())
