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
from coachwork.studies.radio.compile import compiled
from coachwork.studies.radio.heaviest import heaviest
from coachwork.studies.radio.product import Product
from coachwork.studies.radio.setup import Setup
from coachwork.studies.radio.traces import Step, mode_told, steps_of
from coachwork.studies.result import Result
from coachwork.studies.watch import UNWATCHED, Watch


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


def loads(radio: Radio, setup: Setup, watch: Watch = UNWATCHED) -> Loads:
    """Raises NotMeasured naming every current that is blank."""
    fed = [one for one in setup.devices if one.powered_by != OWN_PACK]
    tables = {one.name: radio.devices[one.name] for one in fed}
    currents = [entry for table in tables.values() for entry in (table.current_quiet, table.current_on)]
    require(radio.receiver.current, *currents)
    each = {name: Load(quiet_a=table.current_quiet.a, on_a=table.current_on.a) for name, table in tables.items()}
    receiver = radio.receiver.current.a
    product = compiled(setup)
    way = heaviest(product, {name: (load.quiet_a[0], load.on_a[0]) for name, load in each.items()}, watch)
    most = None if way is None else _state(product, each, receiver, way[-1][1], steps_of(product, way))
    if most is None:
        modes = {one.name: one.modes[-1] for one in fed}
        current = receiver + sum((np.maximum(load.quiet_a, load.on_a) for load in each.values()), np.zeros(1))
        most = LoadState(modes=modes, current_a=current)
    at_rest = _state(product, each, receiver, int(product.start[0]))
    return Loads(receiver_a=receiver, devices=each, at_rest=at_rest, most=most, exact=way is not None)


def current_of(load: Load, *, lit: bool, quiet: bool) -> Numbers:
    """What a device draws."""
    return np.zeros(1) if not lit else load.quiet_a if quiet else load.on_a


def _state(
    product: Product, each: Mapping[str, Load], receiver: Numbers, code: int, way: tuple[Step, ...] = ()
) -> LoadState:
    columns = product.unpacked(np.array([code]))
    current = receiver
    modes: dict[str, str] = {}
    for name, table in product.tables.items():
        state = int(columns[name][0])
        modes[name] = mode_told(product, name, state)
        if name in each:
            quiet = table.mode[state] == product.setup.device(name).quiet
            current = current + current_of(each[name], lit=bool(table.lit[state]), quiet=bool(quiet))
    return LoadState(modes=modes, current_a=current, way=way)
