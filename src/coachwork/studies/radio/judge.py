"""Whether a wish holds in every state that can be reached, or the shortest way to where it does not.

Only what decides the wish is explored: the devices it names, what they are powered through, the channels and controls
that move these. Nothing else can touch them, so both the answer and the shortest way are those of the whole radio.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from coachwork.build.sections.radio.wishes import ControlIs, DeviceIs, Wish, atoms, parts_of
from coachwork.studies.parts import CannotBe
from coachwork.studies.radio.compile import compiled
from coachwork.studies.radio.conditions import at_rest, holds, is_lost, stands
from coachwork.studies.radio.events import Event
from coachwork.studies.radio.explore import MOST_STATES, Explored, explore
from coachwork.studies.radio.fields import Columns
from coachwork.studies.radio.product import Product
from coachwork.studies.radio.setup import Setup
from coachwork.studies.watch import UNWATCHED, Watch

POWER = Event("power")


@dataclass(frozen=True, eq=False)
class Space:
    """A machine and every state of it that was found."""

    product: Product
    explored: Explored

    @property
    def columns(self) -> Columns:
        """The fields of all of them."""
        return self.product.unpacked(self.explored.codes)


@dataclass(frozen=True, eq=False)
class Judged:
    """What became of a wish.

    states   : how many were looked at
    complete : whether those are all
    depth    : actions to the farthest of them
    count    : states that break it; of "can be reached", those that have it
    in_parts : whether there were too many states, and the wish's parts were looked at one by one
    way      : (event, state) from power-up to the first state that breaks it (or has it, where it can be reached)
    """

    wish: Wish
    product: Product
    states: int
    complete: bool
    depth: int
    count: int
    way: tuple[tuple[Event | None, int], ...] = ()
    in_parts: bool = False

    @property
    def proved(self) -> bool:
        """It holds, and nothing was left out."""
        if self.wish.form == "can be reached":
            return self.count > 0
        return self.complete and self.count == 0

    @property
    def refuted(self) -> bool:
        """It does not hold."""
        if self.wish.form == "can be reached":
            return self.complete and self.count == 0
        return self.count > 0


Marks = tuple[tuple[str, tuple[float, ...]], ...]  # positions of controls that a wish speaks of


@dataclass(frozen=True)
class Alike:
    """A machine that equals another wherever their states and moves are the same, whatever the microseconds are."""

    form: bytes
    product: Product = field(compare=False)
    watch: Watch = field(compare=False)


def space_of(setup: Setup, marks: Marks = (), *, most_states: int = MOST_STATES, watch: Watch = UNWATCHED) -> Space:
    """All states of a setup; kept, since many wishes ask for the same. Raises Unwanted when the watch says so."""
    product = _compiled(setup, marks)
    return Space(product, _kept(Alike(product.form, product, watch), most_states))


@lru_cache(maxsize=256)
def _compiled(setup: Setup, marks: Marks) -> Product:
    return compiled(setup, dict(marks))


@lru_cache(maxsize=256)
def _kept(alike: Alike, most_states: int) -> Explored:
    product = alike.product
    return explore(product.start, product.successors, most_states=most_states, watch=alike.watch)


def judged(setup: Setup, wish: Wish, *, most_states: int = MOST_STATES, watch: Watch = UNWATCHED) -> Judged:
    """The wish against every state; where those are too many, its parts against theirs.

    Raises CannotBe where not even a bounded answer is possible, Unwanted when the watch says so.
    """
    parts = parts_of(wish)
    try:
        whole = _judged_whole(setup, wish, most_states, watch)
    except OverflowError:
        if len(parts) == 1:
            raise CannotBe("it hangs on more states than can be counted; wish it of fewer devices at a time") from None
        whole = None
    if whole is not None and (whole.complete or whole.refuted or len(parts) == 1):
        return whole
    each = [_judged_whole(setup, part, most_states, watch) for part in parts]
    broken = min((one for one in each if one.refuted), key=lambda one: len(one.way), default=None)
    if broken is None and whole is not None and not all(one.complete for one in each):
        return whole
    first = broken or each[0]
    states = first.states if broken else sum(one.states for one in each)
    return replace(
        first,
        wish=wish,
        states=states,
        complete=broken is not None or all(one.complete for one in each),
        depth=max(one.depth for one in each),
        in_parts=True,
    )


def _judged_whole(setup: Setup, wish: Wish, most_states: int, watch: Watch) -> Judged:
    part, marks = part_of(setup, wish)
    space = space_of(part, marks, most_states=most_states, watch=watch)
    match wish.form:
        case "always" | "on signal loss" | "can be reached":
            return _of_states(wish, space)
        case "at power-up" | "at any power-up":
            return _of_power_up(wish, space)
        case "from anywhere":
            return _of_distance(wish, space, wish.actions)
        case "can always be reached":
            return _of_distance(wish, space, None)


def likeness_of(setup: Setup, wish: Wish) -> Hashable:
    """Setups of which this comes out equal have the same states, and the wish is true in the same of them."""
    product = _compiled(*part_of(setup, wish))
    said = [
        stands(atom, product.levels[atom.control]).tobytes()
        for atom in atoms(wish.about)
        if isinstance(atom, ControlIs)
    ]
    rest = [product.rest_level(one) for one in product.setup.controls]
    return (product.form, tuple(said), tuple(rest), tuple(table.mode.tobytes() for table in product.tables.values()))


def part_of(setup: Setup, wish: Wish) -> tuple[Setup, Marks]:
    """What of a setup decides a wish, and the positions of controls that it speaks of."""
    positions: dict[str, set[float]] = {}
    for atom in atoms(wish.about):
        if isinstance(atom, ControlIs):
            positions.setdefault(atom.control, set()).add(atom.position)
    devices = {atom.device for atom in atoms(wish.about) if isinstance(atom, DeviceIs)}
    marks = tuple((name, tuple(sorted(marked))) for name, marked in sorted(positions.items()))
    return setup.part(devices, positions), marks


def _of_states(wish: Wish, space: Space) -> Judged:
    columns = space.columns
    right = holds(space.product, wish.about, columns)
    if wish.form == "can be reached":
        wanted = right
    elif wish.form == "on signal loss":
        wanted = ~right & is_lost(columns)
    else:
        wanted = ~right
        if _names_transmitter(wish, space.product):  # nobody hears a control without a signal
            wanted &= ~is_lost(columns)
    return _judged(wish, space, wanted)


def _names_transmitter(wish: Wish, product: Product) -> bool:
    named = {atom.control for atom in atoms(wish.about) if isinstance(atom, ControlIs)}
    return any(not product.setup.control(name).on_vehicle for name in named)


def _of_power_up(wish: Wish, space: Space) -> Judged:
    """Power off and on in every state; the first power-up of all is the start."""
    product, columns = space.product, space.columns
    if POWER not in product.events:
        return _judged(wish, space, np.zeros(space.explored.states, dtype=bool))
    (after,) = product.after(columns, POWER)
    wanted = ~holds(product, wish.about, after)
    if wish.form == "at power-up":
        wanted &= at_rest(product, after) & ~is_lost(after)
    codes = after.packed()
    start = product.unpacked(space.explored.codes[:1])
    if not holds(product, wish.about, start)[0]:
        count = np.unique(np.append(codes[wanted], space.explored.codes[0])).size
        return _judged_at(wish, space, count, 0)
    if not wanted.any():
        return _judged(wish, space, wanted)
    first = int(np.flatnonzero(wanted)[0])
    found = _judged_at(wish, space, np.unique(codes[wanted]).size, first)
    return replace(found, way=(*found.way, (POWER, int(codes[first]))))


def _of_distance(wish: Wish, space: Space, actions: int | None) -> Judged:
    """States with a signal from which so many moves (None: any number, and waiting) do not get there."""
    product, columns = space.product, space.columns
    codes = space.explored.codes
    near = holds(product, wish.about, columns) & ~is_lost(columns)
    kinds = ("move",) if actions is not None else ("move", "wait")
    reached = [
        space.explored.places_of(after.packed())
        for event in product.events
        if event.kind in kinds
        for after in product.after(columns, event)
    ]
    done = 0
    while actions is None or done < actions:
        further = near.copy()
        for places in reached:
            further |= (places >= 0) & near[places]
        done += 1
        if (further == near).all():
            break
        near = further
    edge = np.zeros(codes.size, dtype=bool)
    if not space.explored.complete:
        # So many moves from the last levels lead to states that were not found, any number of moves does from all.
        known = 0 if actions is None else max(0, space.explored.depth + 1 - actions)
        edge[space.explored.begins[known] :] = True
    return _judged(wish, space, ~near & ~is_lost(columns) & ~edge)


def _judged(wish: Wish, space: Space, wanted: NDArray[np.bool_]) -> Judged:
    places = np.flatnonzero(wanted)
    return _judged_at(wish, space, places.size, int(places[0]) if places.size else None)


def _judged_at(wish: Wish, space: Space, count: int, place: int | None) -> Judged:
    explored = space.explored
    way: tuple[tuple[Event | None, int], ...] = ()
    if place is not None:
        way = tuple(
            (None if explored.event[at] < 0 else space.product.events[explored.event[at]], int(explored.codes[at]))
            for at in explored.way_to(place)
        )
    return Judged(
        wish=wish,
        product=space.product,
        states=explored.states,
        complete=explored.complete,
        depth=explored.depth,
        count=int(count),
        way=way,
    )
