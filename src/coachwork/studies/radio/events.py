"""What can happen to a radio."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from coachwork.studies.radio.automata import Table
from coachwork.studies.radio.outputs import Output
from coachwork.studies.radio.setup import Setup

Kind = Literal["move", "power", "signal", "wait", "noise"]
OTHER = -2  # in place of a level: the other of two


@dataclass(frozen=True)
class Event:
    """Something that can happen: a hand on a control, power off and on, the signal lost or back, time, noise."""

    kind: Kind
    name: str = ""
    way: int = 0  # of a swept control up or down; of a switch to which level; of noise to which side


def events_of(
    setup: Setup, levels: Mapping[str, tuple[float, ...]], tables: Mapping[str, Table], outputs: Mapping[str, Output]
) -> Iterator[Event]:
    """All of them, in the order in which ways are preferred."""
    for control in setup.controls:
        yield from _moves(control.name, len(levels[control.name]), swept=control.swept)
    if any(table.timed for table in tables.values()):
        yield Event("wait")
    if tables:
        yield Event("power")
    if outputs:
        yield Event("signal")
    for output in outputs.values():
        for device, sides in output.tips.items():
            for way, side in zip((-1, 1), sides, strict=True):
                if (side != output.bands[device]).any():
                    yield Event("noise", device, way)


def _moves(control: str, levels: int, *, swept: bool) -> Iterator[Event]:
    if levels < 2:
        return
    if swept:
        yield from (Event("move", control, way) for way in (1, -1))
    elif levels == 2:
        yield Event("move", control, OTHER)
    else:
        yield from (Event("move", control, level) for level in range(levels))
