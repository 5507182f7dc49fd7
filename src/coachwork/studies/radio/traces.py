"""A way through the states as a builder would follow it: what to do, and what each device does then."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.studies.radio.events import Event
from coachwork.studies.radio.fields import SIGNAL, Columns, hand, held
from coachwork.studies.radio.product import Product
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Channel, Control

POWER_UP = "switch on"
DARK = "dark"  # of a device without power


@dataclass(frozen=True)
class Step:
    """One action and what stands after it.

    action    : as `coachwork rehearse` reads it
    signal    : whether the signal is there
    positions : control -> where it stands, in words
    pulses_us : channel -> pulse on its output; None for no pulse, and where a held pulse is known by its class only
    modes     : device -> the mode it is in; "dark" without power
    """

    action: str
    signal: bool
    positions: Mapping[str, str]
    pulses_us: Mapping[str, float | None]
    modes: Mapping[str, str]


def steps_of(product: Product, way: Iterable[tuple[Event | None, int]]) -> tuple[Step, ...]:
    """The steps along a way of (event, state)."""
    steps: list[Step] = []
    before: Columns | None = None
    held_us: dict[str, float | None] = {}
    for event, code in way:
        after = product.unpacked(np.array([code]))
        if event is None or before is None:
            action = POWER_UP
        else:
            action = told(product, event, before, after)
            if event.kind == "signal":
                held_us = pulses_of(product, before, {})
            elif event.kind == "power":
                held_us = dict.fromkeys(product.outputs)
        steps.append(step_at(product, action, after, held_us))
        before = after
    return tuple(steps)


def step_at(product: Product, action: str, columns: Columns, held_us: Mapping[str, float | None]) -> Step:
    """What stands in one state."""
    positions = {
        one.name: one.told(product.levels[one.name][int(columns[hand(one.name)][0])]) for one in product.setup.controls
    }
    return Step(
        action=action,
        signal=not (SIGNAL in columns and columns[SIGNAL][0] == 1),
        positions=positions,
        pulses_us=pulses_of(product, columns, held_us),
        modes={name: mode_told(product, name, int(columns[name][0])) for name in product.tables},
    )


def mode_told(product: Product, device: str, state: int) -> str:
    """The mode a device shows."""
    table = product.tables[device]
    return product.setup.device(device).modes[table.mode[state]] if table.lit[state] else DARK


def pulses_of(product: Product, columns: Columns, held_us: Mapping[str, float | None]) -> dict[str, float | None]:
    """The pulse on each output in one state; `held_us` are those at the moment the signal was lost."""
    pulses: dict[str, float | None] = {}
    for name, output in product.outputs.items():
        channel = output.channel
        if not columns[SIGNAL][0]:
            positions = {c: product.levels[c][int(columns[hand(c)][0])] for c in channel.controls}
            pulses[name] = float(pulse_us(channel, positions)[0])
        elif output.lost is None:
            nothing = columns[held(name)][0] == output.none
            pulses[name] = None if nothing else held_us.get(name)
        else:
            pulses[name] = _preset(channel)
    return pulses


def _preset(channel: Channel) -> float | None:
    return channel.failsafe_us if channel.failsafe == "preset" else None


def told(product: Product, event: Event, before: Columns, after: Columns) -> str:
    """An event as an action in words, the way `coachwork rehearse` reads it."""
    match event.kind:
        case "move":
            control = product.setup.control(event.name)
            return moved(control, product.levels[control.name][int(after[hand(control.name)][0])])
        case "wait":
            return f"wait {_ticks_between(product, before, after) * (product.tick_s or 0):g} s"
        case "power":
            return "power off and on"
        case "signal":
            return "lose the signal" if after[SIGNAL][0] else "the signal returns"
        case "noise":
            return f"noise {'lifts' if event.way > 0 else 'lowers'} {event.name}"


def moved(control: Control, position: float) -> str:
    """A hand on a control, in words."""
    if control.kind == "button":
        return f"press {control.name}" if position > 0 else f"let go of {control.name}"
    return f"{control.name} to {control.told(position)}"


def _ticks_between(product: Product, before: Columns, after: Columns) -> int:
    wanted = after.packed()[0]
    columns, count = before, 0
    while count < product.ticks:
        columns = product.ticked(columns)
        count += 1
        if columns.packed()[0] == wanted:
            return count
    raise AssertionError("a wait that time does not lead to")
