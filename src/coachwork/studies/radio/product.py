"""The whole radio as one machine: its state is one whole number, and events move whole arrays of states at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

import numpy as np

from coachwork.studies.radio.automata import Band, Table, Whole
from coachwork.studies.radio.events import OTHER, Event, events_of
from coachwork.studies.radio.explore import Codes
from coachwork.studies.radio.feeding import Feeding
from coachwork.studies.radio.fields import SIGNAL, Columns, Fields, hand, held
from coachwork.studies.radio.outputs import Output
from coachwork.studies.radio.setup import Control, Setup

# With so few codes, each event is applied to all of them at once and looked up from then on: level by level most of the
# time would go into calls on arrays of a handful.
FEW = 4096


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

    @cached_property
    def fields(self) -> Fields:
        """What a state is made of."""
        radices = {SIGNAL: 2} if self.outputs else {}
        radices |= {hand(name): len(levels) for name, levels in self.levels.items()}
        radices |= {held(name): one.classes for name, one in self.outputs.items() if one.lost is None}
        return Fields(radices | {name: table.size for name, table in self.tables.items()})

    @cached_property
    def feeding(self) -> Feeding:
        """Who is fed through whom."""
        return Feeding(self.setup, self.levels, self.tables)

    @cached_property
    def events(self) -> tuple[Event, ...]:
        """All that can happen, in the order in which ways are preferred."""
        return tuple(events_of(self.setup, self.levels, self.tables, self.outputs))

    @cached_property
    def form(self) -> bytes:
        """All that decides which states there are and where each goes; not at which pulses or positions."""
        parts: list[object] = [tuple(self.fields.radices.items()), self.events, self.ticks, int(self.start[0])]
        parts += [(name, table.form) for name, table in self.tables.items()]
        parts += [(name, output.form) for name, output in self.outputs.items()]
        parts += self.feeding.form
        parts += [(one.name, one.channel, one.powered_by) for one in self.setup.devices]
        return sha256(repr(parts).encode()).digest()

    # ---------------------------------------------------------------- states

    def unpacked(self, codes: Codes) -> Columns:
        """Codes as columns of fields."""
        return Columns.of(self.fields, codes)

    @cached_property
    def start(self) -> Codes:
        """The first state as a code; (1,)."""
        return self.start_columns.packed()

    @property
    def start_columns(self) -> Columns:
        """Power comes, all controls at rest, the signal there."""
        columns = self.unpacked(np.zeros(1, dtype=np.int64))
        at_rest = {hand(one.name): np.array([self.rest_level(one)], dtype=np.intp) for one in self.setup.controls}
        return self._advanced(columns.but(at_rest), self.tables)

    def rest_level(self, control: Control) -> int:
        """Which of its levels a control rests at."""
        return self.levels[control.name].index(control.rest)

    # ---------------------------------------------------------------- where they go

    def successors(self, codes: Codes) -> Iterator[tuple[int, Codes]]:
        """Where states go by each event; a sweep or a wait yields every stage of it."""
        if self.fields.codes <= FEW:
            for number, everywhere in self._everywhere:
                yield number, everywhere[codes]
            return
        columns = self.unpacked(codes)
        for number, event in enumerate(self.events):
            for after in self.after(columns, event):
                yield number, after.packed()

    @cached_property
    def _everywhere(self) -> list[tuple[int, Codes]]:
        """Where each code goes by each event, whether or not it is a state that can be reached."""
        columns = self.unpacked(np.arange(self.fields.codes))
        return [
            (number, after.packed()) for number, event in enumerate(self.events) for after in self.after(columns, event)
        ]

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

    # ---------------------------------------------------------------- events

    def _moved(self, columns: Columns, event: Event) -> Iterator[Columns]:
        top = len(self.levels[event.name]) - 1
        if self.setup.control(event.name).swept:
            for _ in range(top):
                level = np.clip(columns[hand(event.name)] + event.way, 0, top)
                columns = self._advanced(columns.but({hand(event.name): level}), self._touched[event.name])
                yield columns
            return
        now = columns[hand(event.name)]
        level = 1 - now if event.way == OTHER else np.full_like(now, event.way)
        yield self._advanced(columns.but({hand(event.name): level}), self._touched[event.name])

    def _waited(self, columns: Columns) -> Iterator[Columns]:
        for _ in range(self.ticks):
            columns = self.ticked(columns)
            yield columns

    def ticked(self, columns: Columns) -> Columns:
        """One tick of time later."""
        after = columns.but({})
        for name, table in self.tables.items():
            if table.timed:
                after[name] = table.ticked[after[name]]
        return self._advanced(after, self.tables)

    def _power_cycled(self, columns: Columns) -> Columns:
        after = columns.but({})
        for name, output in self.outputs.items():
            if output.lost is None:  # a receiver that never heard anything has no pulse to hold
                after[held(name)] = np.where(columns[SIGNAL] == 1, output.none, 0)
        for name, table in self.tables.items():
            powered = self.feeding.power_of(name, after, main=0)
            after[name] = table.after[after[name] * 8 + int(Band.NONE) * 2 + powered]
        return self._advanced(after, self.tables)

    def _signal_turned(self, columns: Columns) -> Columns:
        lost = 1 - columns[SIGNAL]
        after = columns.but({SIGNAL: lost})
        for name, output in self.outputs.items():
            if output.lost is None:
                after[held(name)] = np.where(lost == 1, self._sent(output, columns), 0)
        return self._advanced(after, self.tables)

    def _tipped(self, columns: Columns, event: Event) -> Columns:
        """Noise shows a device the neighbouring band; what hangs on its power follows."""
        output = self.outputs[self.setup.device(event.name).channel]
        band = output.tips[event.name][(event.way + 1) // 2][self.class_of(output, columns)]
        after = columns.but({})
        powered = self.feeding.power_of(event.name, after)
        after[event.name] = self.tables[event.name].after[after[event.name] * 8 + band * 2 + powered]
        fed = [name for name in self.feeding.fed_through(event.name) if name != event.name]
        return self._advanced(after, fed)

    # ---------------------------------------------------------------- what follows at once

    def _advanced(self, columns: Columns, devices: Iterable[str]) -> Columns:
        """Each device steps with its input; those powered through it come later in the order."""
        after = columns.but({})
        classes: dict[str, Whole] = {}
        for name in devices:
            channel = self._channel_of[name]
            powered = self.feeding.power_of(name, after)
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

    @cached_property
    def _channel_of(self) -> dict[str, str | None]:
        return {one.name: one.channel if one.channel in self.outputs else None for one in self.setup.devices}

    @cached_property
    def _doubled_bands(self) -> dict[str, Whole]:
        return {name: bands * 2 for output in self.outputs.values() for name, bands in output.bands.items()}

    @cached_property
    def _touched(self) -> dict[str, list[str]]:
        """For each control, the devices that may act when it moves, in the order of power."""
        touched: dict[str, list[str]] = {}
        for control in self.setup.controls:
            moved = {name for name, output in self.outputs.items() if control.name in output.controls}
            first = [one.name for one in self.setup.devices if one.channel in moved or one.powered_by == control.name]
            every = {fed for name in first for fed in self.feeding.fed_through(name)}
            touched[control.name] = [name for name in self.tables if name in every]
        return touched
