"""A state in which devices together draw the most, and a way to it.

Parts of a radio that share no control, channel or power are first looked at each on its own: none draws more than the
heaviest of its own states, so their sum is a bound. If the ways to these, one after the other, lead the whole radio to
that very sum, it is the most there is. If not (signal and power switch are common to all), every state is explored.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.radio.events import Event
from coachwork.studies.radio.fields import Columns
from coachwork.studies.radio.judge import Space, space_of
from coachwork.studies.radio.product import Product
from coachwork.studies.radio.setup import Setup
from coachwork.studies.watch import Watch

# The load is asked for whether or not anything is wished, so it may not take long.
MOST_STATES = 200_000
NEARLY_A = 1e-9  # sums of the same currents in another order differ by rounding

Currents = Mapping[str, tuple[float, float]]  # device -> in its quiet mode, in any other, in A
Way = list[tuple[Event | None, int]]  # events with the states they lead to, power-up first


def heaviest(product: Product, currents_a: Currents, watch: Watch) -> Way | None:
    """A way to such a state; None where there are too many states to know."""
    way = _part_by_part(product, currents_a, watch)
    if way is not None:
        return way
    space = space_of(product.setup, most_states=MOST_STATES, watch=watch)
    if not space.explored.complete:
        return None
    return _way_to(space, int(np.argmax(np.round(drawn_a(product, space.columns, currents_a), 9))))


def drawn_a(product: Product, columns: Columns, currents_a: Currents) -> Numbers:
    """What all devices draw in each state, (states,)."""
    total = np.zeros(columns.shape)
    for name, (quiet_a, on_a) in currents_a.items():
        if name in product.tables:
            table, quiet = product.tables[name], product.setup.device(name).quiet
            total += (np.where(table.mode == quiet, quiet_a, on_a) * table.lit)[columns[name]]
    return total


def parts_apart(setup: Setup) -> Iterator[Setup]:
    """The largest parts that share no control, channel or power."""
    apart: list[tuple[set[str], set[object]]] = []  # devices, and all that they hang on
    for device in setup.devices:
        part = setup.part([device.name])
        names: set[str] = {device.name}
        hung_on: set[object] = {*part.devices, *part.channels, *part.controls}
        for one in [one for one in apart if one[1] & hung_on]:
            apart.remove(one)
            names, hung_on = names | one[0], hung_on | one[1]
        apart.append((names, hung_on))
    for names, _ in apart:
        yield setup.part(names)


def _part_by_part(product: Product, currents_a: Currents, watch: Watch) -> Way | None:
    bound_a = 0.0
    ways: list[tuple[Product, Way]] = []
    for part in parts_apart(product.setup):
        space = space_of(part, most_states=MOST_STATES, watch=watch)
        if not space.explored.complete:
            return None
        drawn = np.round(drawn_a(space.product, space.columns, currents_a), 9)
        bound_a += float(drawn.max())
        ways.append((space.product, _way_to(space, int(np.argmax(drawn)))))
    # A wait goes on with every timer there is, so the part with timers comes first, while the others are at rest.
    ways.sort(key=lambda each: each[0].tick_s is None)
    found = _one_after_the_other(product, ways)
    if found is None:
        return None
    reached = product.unpacked(np.array([found[-1][1]]))
    return found if drawn_a(product, reached, currents_a)[0] > bound_a - NEARLY_A else None


def _way_to(space: Space, place: int) -> Way:
    explored, events = space.explored, space.product.events
    return [
        (None if explored.event[at] < 0 else events[explored.event[at]], int(explored.codes[at]))
        for at in explored.way_to(place)
    ]


def _one_after_the_other(product: Product, ways: Iterable[tuple[Product, Way]]) -> Way | None:
    """The parts' ways played on the whole; None where one does not go there as it does alone."""
    columns = product.start_columns
    found: Way = [(None, int(product.start[0]))]
    for part, way in ways:
        for event, code in way[1:]:
            assert event is not None
            wanted = part.unpacked(np.array([code]))
            stages = product.after(columns, event)
            reached = next((after for after in stages if all(after[name] == wanted[name] for name in wanted)), None)
            if reached is None:
                return None
            columns = product.unpacked(reached.packed())
            found.append((event, int(reached.packed()[0])))
    return found
