"""What the receiver's supply has to feed: each device's currents, and the heaviest state that can be reached.

For whoever computes the supply: `most` is no sum of everything, but what can be on together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.devices import OWN_PACK
from coachwork.studies.radio.judge import Space, space_of
from coachwork.studies.radio.setup import Setup
from coachwork.studies.radio.traces import Step, mode_told, steps_of
from coachwork.studies.result import Result

# The load is asked for whether or not anything is wished, so it may not take long; beyond, currents are bounded.
MOST_STATES = 200_000


@dataclass(frozen=True, kw_only=True, eq=False)
class Load(Result):
    """One device's currents from the receiver's supply, (samples,) in A."""

    quiet_a: Numbers
    on_a: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class LoadState(Result):
    """A state, what each device does in it, and the current all of them draw, (samples,) in A."""

    modes: Mapping[str, str]
    current_a: Numbers
    way: tuple[Step, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Loads(Result):
    """All currents.

    at_rest : right after power-up with the controls at rest
    most    : the heaviest that can be reached
    exact   : False where there were too many states, and `most` is the sum of what each may draw
    """

    receiver_a: Numbers
    devices: Mapping[str, Load]
    at_rest: LoadState
    most: LoadState
    exact: bool


def loads(radio: Radio, setup: Setup) -> Loads:
    """Raises NotMeasured naming every current that is blank."""
    fed = [one for one in setup.devices if one.powered_by != OWN_PACK]
    tables = {one.name: radio.devices[one.name] for one in fed}
    currents = [entry for table in tables.values() for entry in (table.current_quiet, table.current_on)]
    require(radio.receiver.current, *currents)
    each = {name: Load(quiet_a=table.current_quiet.a, on_a=table.current_on.a) for name, table in tables.items()}
    receiver = radio.receiver.current.a
    space = space_of(setup, most_states=MOST_STATES)
    place, exact = _heaviest(space, each, setup), space.explored.complete
    product = space.product
    codes = space.explored.codes
    if exact:
        events = [
            (None if space.explored.event[at] < 0 else product.events[space.explored.event[at]], int(codes[at]))
            for at in space.explored.way_to(place)
        ]
        most = _state(space, each, receiver, place, steps_of(product, events))
    else:
        modes = {one.name: one.modes[-1] for one in fed}
        current = receiver + sum((np.maximum(load.quiet_a, load.on_a) for load in each.values()), np.zeros(1))
        most = LoadState(modes=modes, current_a=current)
    return Loads(receiver_a=receiver, devices=each, at_rest=_state(space, each, receiver, 0), most=most, exact=exact)


def current_of(load: Load, *, lit: bool, quiet: bool) -> Numbers:
    """What a device draws."""
    return np.zeros(1) if not lit else load.quiet_a if quiet else load.on_a


def _heaviest(space: Space, each: Mapping[str, Load], setup: Setup) -> int:
    """Place of the state with the largest current by the first sample."""
    total, columns = np.zeros(space.explored.states), space.columns
    for name, load in each.items():
        table, quiet = space.product.tables[name], setup.device(name).quiet
        amperes = np.where(table.mode == quiet, load.quiet_a[0], load.on_a[0]) * table.lit
        total += amperes[columns[name]]
    return int(np.argmax(np.round(total, 9)))


def _state(
    space: Space, each: Mapping[str, Load], receiver: Numbers, place: int, way: tuple[Step, ...] = ()
) -> LoadState:
    columns = space.product.unpacked(space.explored.codes[place : place + 1])
    current = receiver
    modes: dict[str, str] = {}
    for name, table in space.product.tables.items():
        state = int(columns[name][0])
        modes[name] = mode_told(space.product, name, state)
        if name in each:
            quiet = table.mode[state] == space.product.setup.device(name).quiet
            current = current + current_of(each[name], lit=bool(table.lit[state]), quiet=bool(quiet))
    return LoadState(modes=modes, current_a=current, way=way)
