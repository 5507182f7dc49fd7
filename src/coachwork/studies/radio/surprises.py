"""What nobody wished for: modes that cannot be reached, channels that nothing moves, functions that are one."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from coachwork.studies.radio.judge import space_of
from coachwork.studies.radio.setup import Device, Setup
from coachwork.studies.watch import UNWATCHED, Watch


@dataclass(frozen=True)
class ModesUsed:
    """Which of a device's modes are ever shown; without power it shows its quiet one.

    complete : whether every state was looked at; if not, more may be used
    states   : how many were
    """

    used: tuple[str, ...]
    unused: tuple[str, ...]
    complete: bool
    states: int


def modes_used(setup: Setup, device: Device, watch: Watch = UNWATCHED) -> ModesUsed:
    """Over every state of the device and what it hangs on."""
    space = space_of(setup.part([device.name]), watch=watch)
    table = space.product.tables[device.name]
    shown = set(table.mode[np.unique(space.columns[device.name])].tolist())
    return ModesUsed(
        used=tuple(mode for i, mode in enumerate(device.modes) if i in shown),
        unused=tuple(mode for i, mode in enumerate(device.modes) if i not in shown),
        complete=space.explored.complete,
        states=space.explored.states,
    )


def alike(setup: Setup, meant: Collection[frozenset[str]], watch: Watch = UNWATCHED) -> Iterator[tuple[str, str]]:
    """Pairs of accessories that are on and quiet together in every state.

    Two that share neither channel, control nor power can be told apart if either can be switched at all, so only those
    that share one are looked at; a pair of which neither is ever on is none, nor is one that is `meant`.
    """
    accessories = [one for one in setup.devices if one.accessory]
    for first, second in combinations(accessories, 2):
        if frozenset((first.name, second.name)) in meant or not _hang_together(setup, first, second):
            continue
        space = space_of(setup.part([first.name, second.name]), watch=watch)
        columns = space.columns
        on = [(space.product.tables[one.name].mode != one.quiet)[columns[one.name]] for one in (first, second)]
        if space.explored.complete and on[0].any() and (on[0] == on[1]).all():
            yield first.name, second.name


def _hang_together(setup: Setup, first: Device, second: Device) -> bool:
    def roots(device: Device) -> set[str]:
        part = setup.part([device.name])
        return {
            *(one.name for one in part.controls),
            *(one.name for one in part.devices),
            *(one.name for one in part.channels),
        }

    return bool(roots(first) & roots(second))
