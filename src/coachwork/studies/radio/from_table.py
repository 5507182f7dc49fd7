"""One sample of the build's radio table as plain numbers; a device that lacks one is left out, and its keys named."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from coachwork.build import Entry, NotMeasured, Numbers
from coachwork.build.sections.radio import Channel as ChannelTable
from coachwork.build.sections.radio import Control as ControlTable
from coachwork.build.sections.radio import Device as DeviceTable
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.devices import RECEIVER
from coachwork.build.sections.radio.names import name_in, names_in
from coachwork.build.sections.radio.words import REST
from coachwork.studies.radio.setup import FULL_THROW_US, Channel, Control, Device, Setup, in_order_of_power

_Number = Callable[[Numbers], float]


@dataclass(frozen=True, eq=False)
class Read:
    """One sample of the table, and what could not be read of it.

    lacking : device -> keys that its machine needs and that are not measured yet; it is no part of the setup
    """

    setup: Setup
    lacking: Mapping[str, tuple[str, ...]]


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
        below=table.when == "below" and table.kind != "proportional",  # whose modes stand in their order
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
