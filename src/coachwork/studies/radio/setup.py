"""A radio as plain numbers: one sample of the build's table, which cures can change and a compiler can read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from coachwork.build import Entry, NotMeasured, Numbers
from coachwork.build.sections.radio import Channel as ChannelTable
from coachwork.build.sections.radio import Control as ControlTable
from coachwork.build.sections.radio import Device as DeviceTable
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.devices import RECEIVER
from coachwork.build.sections.radio.names import name_in, names_in
from coachwork.build.sections.radio.words import REST

_Number = Callable[[Numbers], float]
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
        return f"{round(percent, 2):g} %"


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


@dataclass(frozen=True, eq=False)
class Read:
    """One sample of the table, and what could not be read of it.

    lacking : device -> keys that its machine needs and that are not measured yet; it is no part of the setup
    """

    setup: Setup
    lacking: Mapping[str, tuple[str, ...]]


def samples_of(radio: Radio) -> int:
    """How many samples the table's numbers have."""
    return max((entry.samples().size for entry in radio.entries() if entry.known), default=1)


def read_setup(radio: Radio, sample: int) -> Read:
    """The table's numbers as plain ones, those of one sample."""

    def number(values: Numbers) -> float:
        return float(values[sample] if values.size > 1 else values[0])

    controls = tuple(_control(name, table) for name, table in radio.controls.items())
    channels = {name: _channel(name, table, number) for name, table in radio.channels.items()}
    noise = number(radio.receiver.noise.us)
    devices: dict[str, Device] = {}
    lacking: dict[str, tuple[str, ...]] = {}
    for name, table in radio.devices.items():
        try:
            devices[name] = _device(name, table, number, radio)
            if isinstance(here := channels.get(devices[name].channel), NotMeasured):
                raise here
        except NotMeasured as gap:
            lacking[name] = gap.keys
            devices.pop(name, None)
    while fed := {name for name, one in devices.items() if one.powered_by in lacking}:
        for name in fed:
            lacking[name] = lacking[devices.pop(name).powered_by]
    known = tuple(one for one in channels.values() if isinstance(one, Channel))
    ordered = in_order_of_power(tuple(devices.values()))
    return Read(Setup(controls=controls, channels=known, devices=ordered, noise_us=noise), lacking)


def _control(name: str, table: ControlTable) -> Control:
    return Control(
        name=name,
        kind=table.kind,
        on_vehicle=table.at == "vehicle",
        rest=REST[table.resting],
        positions=table.named,
        can_latch=table.can_latch,
    )


def _channel(name: str, table: ChannelTable, number: _Number) -> Channel | NotMeasured:
    """The channel, or what it lacks: a set failsafe needs its pulse."""

    def or_else(entry: Entry, values: str, otherwise: float) -> float:
        return number(getattr(entry, values)) if entry.given else otherwise

    try:
        failsafe = number(table.failsafe_pulse.us) if table.failsafe == "preset" else None
        mixes = tuple((control, number(mix.share.ratio)) for control, mix in table.mixes.items())
    except NotMeasured as gap:
        return gap
    return Channel(
        name=name,
        number=round(number(table.number.count)) if table.number.given else None,
        control=name_in(table.control),
        mixes=mixes,
        reverse=table.reverse,
        low_end=or_else(table.low_end, "ratio", 1.0),
        high_end=or_else(table.high_end, "ratio", 1.0),
        sub_trim_us=or_else(table.sub_trim, "us", 0.0),
        rate=or_else(table.rate, "ratio", 1.0),
        expo=or_else(table.expo, "ratio", 0.0),
        full_throw_us=or_else(table.full_throw, "us", FULL_THROW_US),
        failsafe=table.failsafe,
        failsafe_us=failsafe,
    )


def _device(name: str, table: DeviceTable, number: _Number, radio: Radio) -> Device:
    modes = table.named
    source = name_in(table.powered_by) or RECEIVER
    channel = name_in(table.channel)
    if table.kind != "plain" and not channel:
        raise NotMeasured([f"radio.devices.{name}.channel"])
    return Device(
        name=name,
        kind=table.kind,
        modes=modes,
        quiet=table.quiet,
        channel="" if table.kind == "plain" else channel,
        cuts_us=_cuts(table, number),
        below=table.when == "below",
        counts=table.counts,
        hold_s=_hold(table, number),
        held_mode=_which(table.held_mode, modes, 0),
        time_out_s=number(table.time_out.s) if table.time_out.given else None,
        starts=_which(table.starts, modes, table.quiet),
        keeps_memory=table.memory == "kept",
        keeps_without_pulse=table.without_pulse == "keeps",
        waits_for_neutral=table.waits_for_neutral,
        powered_by=source,
        powered_when=_feeding(table, source, radio),
        accessory=table.accessory,
        settable=names_in(table.settable),
    )


def _cuts(table: DeviceTable, number: _Number) -> tuple[float, float] | None:
    if table.kind == "plain":
        return None
    if table.kind == "proportional":
        middle, half = number(table.neutral.us), number(table.dead_band.us) / 2
    else:
        middle, half = number(table.switches_at.us), number(table.hysteresis.us) / 2
    return middle - half, middle + half


def _hold(table: DeviceTable, number: _Number) -> float | None:
    """Raises NotMeasured where the kind cannot do without."""
    if table.kind == "held" or (table.kind == "cycling" and table.hold_time.given):
        return number(table.hold_time.s)
    return None


def _feeding(table: DeviceTable, source: str, radio: Radio) -> tuple[int, ...]:
    """Modes or positions of the source in which power comes through."""
    if source in radio.devices:
        feeder = radio.devices[source]
        modes, quiet = feeder.named, feeder.quiet
    elif source in radio.controls:
        modes, quiet = radio.controls[source].named, 0
    else:
        return ()
    named = names_in(table.powered_when)
    return tuple(modes.index(name) for name in named) if named else tuple(i for i in range(len(modes)) if i != quiet)


def _which(text: str, modes: tuple[str, ...], otherwise: int) -> int:
    name = name_in(text).lower()
    return modes.index(name) if name else otherwise
