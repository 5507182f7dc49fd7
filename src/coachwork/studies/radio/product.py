"""The whole radio as one machine: its state is one whole number, and events move whole arrays of states at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256
from typing import Literal

import numpy as np

from coachwork.build.sections.radio.devices import OWN_PACK
from coachwork.studies.radio.automata import Band, Table, Whole
from coachwork.studies.radio.explore import Codes
from coachwork.studies.radio.outputs import Output
from coachwork.studies.radio.setup import Control, Device, Setup

SIGNAL = "signal:"  # name of the field: 0 there, 1 lost. Devices' fields have their names, others a colon
Columns = dict[str, Whole]
Kind = Literal["move", "power", "signal", "wait", "noise"]


@dataclass(frozen=True)
class Event:
    """Something that can happen: a hand on a control, power off and on, the signal lost or back, time, noise."""

    kind: Kind
    name: str = ""
    way: int = 0  # of a swept control up or down; of a switch to which level; of noise to which side


@dataclass(frozen=True, eq=False)
class Product:
    """A setup compiled. `levels` are the positions of each control that matter; `tick_s` how long a tick is."""

    setup: Setup
    levels: Mapping[str, tuple[float, ...]]
    tables: Mapping[str, Table]
    outputs: Mapping[str, Output]
    tick_s: float | None
    ticks: int
    coarse: bool
    radices: Mapping[str, int] = field(init=False)

    def __post_init__(self) -> None:
        radices = {SIGNAL: 2} if self.outputs else {}
        radices |= {hand(name): len(levels) for name, levels in self.levels.items()}
        radices |= {held(name): one.classes for name, one in self.outputs.items() if one.lost is None}
        radices |= {name: table.size for name, table in self.tables.items()}
        object.__setattr__(self, "radices", radices)

    # ---------------------------------------------------------------- states as numbers

    @cached_property
    def strides(self) -> dict[str, int]:
        """What one step of each field is worth in a code. Raises OverflowError where codes would not fit."""
        if math.prod(self.radices.values()) >= 2**62:
            raise OverflowError("more states than a whole number can count")
        strides, stride = {}, 1
        for name, radix in self.radices.items():
            strides[name] = stride
            stride *= radix
        return strides

    def packed(self, columns: Columns) -> Codes:
        """Columns of fields as codes."""
        first = next(iter(columns.values()))
        codes = np.zeros(first.shape, dtype=np.int64)
        for name, column in columns.items():
            codes += column * self.strides[name]
        return codes

    def unpacked(self, codes: Codes) -> Columns:
        """Codes as columns of fields."""
        columns, rest = {}, codes
        for name, radix in self.radices.items():
            rest, column = np.divmod(rest, radix)
            columns[name] = column.astype(np.intp, copy=False)
        return columns

    @cached_property
    def form(self) -> bytes:
        """All that decides which states there are and where each goes; not at which pulses or positions."""
        parts: list[object] = [tuple(self.radices.items()), self.events, self.ticks, int(self.start[0])]
        parts += [(name, table.after.tobytes(), table.ticked.tobytes()) for name, table in self.tables.items()]
        for name, output in self.outputs.items():
            parts += [name, output.controls, output.of_levels.tobytes(), output.lost, output.none]
            parts += [(device, bands.tobytes()) for device, bands in output.bands.items()]
            parts += [(device, below.tobytes(), above.tobytes()) for device, (below, above) in output.tips.items()]
        parts += [(name, None if feeds is None else feeds.tobytes()) for name, feeds in self._feeds.items()]
        parts += [(one.name, one.channel, one.powered_by) for one in self.setup.devices]
        return sha256(repr(parts).encode()).digest()

    # ---------------------------------------------------------------- where it starts, what can happen

    @cached_property
    def start(self) -> Codes:
        """The same as a code; (1,)."""
        return self.packed(self.start_columns)

    @property
    def start_columns(self) -> Columns:
        """Power comes, all controls at rest, the signal there."""
        columns = {name: np.zeros(1, dtype=np.intp) for name in self.radices}
        for control in self.setup.controls:
            columns[hand(control.name)] = np.array([self.rest_level(control)], dtype=np.intp)
        return self._advanced(columns, self.tables)

    def rest_level(self, control: Control) -> int:
        """Which of its levels a control rests at."""
        return self.levels[control.name].index(control.rest)

    @cached_property
    def events(self) -> tuple[Event, ...]:
        """All of them, in the order in which ways are preferred."""
        found: list[Event] = []
        for control in self.setup.controls:
            count = len(self.levels[control.name])
            if control.swept and count > 1:
                found += [Event("move", control.name, way) for way in (1, -1)]
            elif count == 2:
                found.append(Event("move", control.name, -2))  # to the other
            else:
                found += [Event("move", control.name, level) for level in range(count) if count > 1]
        if any(table.timed for table in self.tables.values()):
            found.append(Event("wait"))
        if self.tables:
            found.append(Event("power"))
        if self.outputs:
            found.append(Event("signal"))
        for output in self.outputs.values():
            for device, sides in output.tips.items():
                found += [
                    Event("noise", device, way)
                    for way, side in zip((-1, 1), sides, strict=True)
                    if (side != output.bands[device]).any()
                ]
        return tuple(found)

    def successors(self, codes: Codes) -> Iterator[tuple[int, Codes]]:
        """Where states go by each event; a sweep or a wait yields every stage of it."""
        columns = self.unpacked(codes)
        for number, event in enumerate(self.events):
            for after in self.after(columns, event):
                yield number, self.packed(after)

    def after(self, columns: Columns, event: Event) -> Iterator[Columns]:
        """The states after an event, stage by stage where it can be broken off."""
        match event.kind:
            case "move":
                yield from self._moved(columns, event)
            case "wait":
                yield from self._waited(columns)
            case "power":
                yield self._power_cycled(columns)
            case "signal":
                yield self._signal_turned(columns)
            case "noise":
                yield self._tipped(columns, event)

    def moves(self, codes: Codes) -> Iterator[Codes]:
        """Where the builder's hands alone take states: one control of the transmitter or vehicle, moved once."""
        columns = self.unpacked(codes)
        for event in self.events:
            if event.kind == "move":
                for after in self.after(columns, event):
                    yield self.packed(after)

    # ---------------------------------------------------------------- events

    def _moved(self, columns: Columns, event: Event) -> Iterator[Columns]:
        top = len(self.levels[event.name]) - 1
        if self.setup.control(event.name).swept:
            for _ in range(top):
                level = np.clip(columns[hand(event.name)] + event.way, 0, top)
                columns = self._advanced({**columns, hand(event.name): level}, self._touched[event.name])
                yield columns
            return
        now = columns[hand(event.name)]
        level = 1 - now if event.way == -2 else np.full_like(now, event.way)
        yield self._advanced({**columns, hand(event.name): level}, self._touched[event.name])

    def _waited(self, columns: Columns) -> Iterator[Columns]:
        for _ in range(self.ticks):
            columns = self.ticked(columns)
            yield columns

    def ticked(self, columns: Columns) -> Columns:
        """One tick of time later."""
        after = dict(columns)
        for name, table in self.tables.items():
            if table.timed:
                after[name] = table.ticked[after[name]]
        return self._advanced(after, self.tables)

    def _power_cycled(self, columns: Columns) -> Columns:
        after = dict(columns)
        for name, output in self.outputs.items():
            if output.lost is None:  # a receiver that never heard anything has no pulse to hold
                after[held(name)] = np.where(columns[SIGNAL] == 1, output.none, 0)
        for name, table in self.tables.items():
            powered = self._power_of(name, after, main=0)
            after[name] = table.after[after[name] * 8 + int(Band.NONE) * 2 + powered]
        return self._advanced(after, self.tables)

    def _signal_turned(self, columns: Columns) -> Columns:
        lost = 1 - columns[SIGNAL]
        after = {**columns, SIGNAL: lost}
        for name, output in self.outputs.items():
            if output.lost is None:
                after[held(name)] = np.where(lost == 1, self._sent(output, columns), 0)
        return self._advanced(after, self.tables)

    def _tipped(self, columns: Columns, event: Event) -> Columns:
        """Noise shows a device the neighbouring band; what hangs on its power follows."""
        output = self.outputs[self.setup.device(event.name).channel]
        band = output.tips[event.name][(event.way + 1) // 2][self.class_of(output, columns)]
        after = dict(columns)
        powered = self._power_of(event.name, after)
        after[event.name] = self.tables[event.name].after[after[event.name] * 8 + band * 2 + powered]
        fed = [name for name in self._fed_through(event.name) if name != event.name]
        return self._advanced(after, fed)

    # ---------------------------------------------------------------- what follows at once

    def _advanced(self, columns: Columns, devices: Iterable[str]) -> Columns:
        """Each device steps with its input; those powered through it come later in the order."""
        after = dict(columns)
        classes: dict[str, Whole] = {}
        for name in devices:
            channel = self._channel_of[name]
            powered = self._power_of(name, after)
            if channel is None:
                inputs = int(Band.NONE) * 2 + powered
            else:
                if channel not in classes:
                    classes[channel] = self.class_of(self.outputs[channel], after)
                inputs = self._doubled_bands[name][classes[channel]] + powered
            after[name] = self.tables[name].after[after[name] * 8 + inputs]
        return after

    def class_of(self, output: Output, columns: Columns) -> Whole:
        """Class of the pulse on an output."""
        sent = self._sent(output, columns)
        lost = columns[SIGNAL]
        if not lost.any():
            return sent
        instead = columns[held(output.channel.name)] if output.lost is None else output.lost
        return np.where(lost == 1, instead, sent)

    def _sent(self, output: Output, columns: Columns) -> Whole:
        combination: Whole = np.zeros_like(columns[SIGNAL])
        for name in output.controls:
            combination = combination * len(self.levels[name]) + columns[hand(name)]
        return output.of_levels[combination]

    def _power_of(self, name: str, columns: Columns, main: int = 1) -> Whole | int:
        source = self.setup_devices[name].powered_by
        if source == OWN_PACK:
            return 1
        feeds = self._feeds[name]
        if feeds is None:
            return main
        if source in self.tables:
            return feeds[columns[source]]
        return feeds[columns[hand(source)]] * main

    @cached_property
    def setup_devices(self) -> dict[str, Device]:
        """Devices by name."""
        return {device.name: device for device in self.setup.devices}

    @cached_property
    def _channel_of(self) -> dict[str, str | None]:
        return {one.name: one.channel if one.channel in self.outputs else None for one in self.setup.devices}

    @cached_property
    def _doubled_bands(self) -> dict[str, Whole]:
        return {name: bands * 2 for output in self.outputs.values() for name, bands in output.bands.items()}

    @cached_property
    def _feeds(self) -> dict[str, Whole | None]:
        """For each device fed through something: (states or levels of that,), 1 where power comes through."""
        feeds: dict[str, Whole | None] = {}
        for device in self.setup.devices:
            feeds[device.name] = None
            if device.powered_by in self.tables:
                table = self.tables[device.powered_by]
                through = np.isin(table.mode, device.powered_when) & table.lit
                feeds[device.name] = through.astype(np.intp)
            elif device.powered_by in self.levels:
                control = self.setup.control(device.powered_by)
                which = [control.fixed.index(level) for level in self.levels[control.name]]
                feeds[device.name] = np.isin(which, device.powered_when).astype(np.intp)
        return feeds

    @cached_property
    def _touched(self) -> dict[str, list[str]]:
        """For each control, the devices that may act when it moves, in the order of power."""
        touched: dict[str, list[str]] = {}
        for control in self.setup.controls:
            moved = {name for name, output in self.outputs.items() if control.name in output.controls}
            first = [one.name for one in self.setup.devices if one.channel in moved or one.powered_by == control.name]
            every = {fed for name in first for fed in self._fed_through(name)}
            touched[control.name] = [name for name in self.tables if name in every]
        return touched

    def _fed_through(self, name: str) -> list[str]:
        """A device and all that are powered through it, in the order of power."""
        found = [name]
        for device in self.setup.devices:
            if device.powered_by in found and device.name not in found:
                found.append(device.name)
        return found


def hand(control: str) -> str:
    """Name of the field that says at which of its levels a control stands."""
    return f"hand: {control}"


def held(channel: str) -> str:
    """Name of the field that remembers the pulse an output holds."""
    return f"held: {channel}"
