"""One way through the states, action by action, on the same machines that are explored; time counted more finely."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coachwork.studies.radio.actions import Action
from coachwork.studies.radio.compile import compiled
from coachwork.studies.radio.events import OTHER, Event
from coachwork.studies.radio.fields import SIGNAL, Columns, hand
from coachwork.studies.radio.product import Product
from coachwork.studies.radio.setup import Setup
from coachwork.studies.radio.traces import POWER_UP, Step, mode_told, pulses_of, step_at

FINEST_S = 0.1
HAND_S = 0.2  # an action's width in a drawing; the machines take it to take no time (docs/theory/radio.md)


@dataclass(frozen=True)
class Beat:
    """A moment: when, what was done just before, what stands then, and what the supply gives, in A.

    current_a : None where a current is not known
    """

    time_s: float
    step: Step
    current_a: float | None


class Rehearsal:
    """A radio switched on, to be played on.

    currents_a : device -> (in its quiet mode, in any other), for those fed by the receiver's supply; None if not known
    actions    : those to come, as far as they are known: where they leave sticks and dials has to be
    """

    def __init__(
        self,
        setup: Setup,
        actions: Iterable[Action],
        *,
        currents_a: Mapping[str, tuple[float, float]] | None,
        receiver_a: float = 0.0,
    ) -> None:
        stops: dict[str, list[float]] = {}
        for action in actions:
            if action.kind == "move" and setup.control(action.name).swept:
                stops.setdefault(action.name, []).append(action.position)
        self.product = compiled(setup, stops=stops, finest_s=FINEST_S)
        self.currents_a, self.receiver_a = currents_a, receiver_a
        self._columns = self.product.start_columns
        self._held_us: dict[str, float | None] = {}
        self._waited_s = 0.0
        self.beats = [self._beat(0.0, POWER_UP)]

    def play(self, action: Action) -> list[Beat]:
        """The beats that an action adds: one, or one for each moment of a wait at which something changes."""
        begin = len(self.beats)
        now = self.beats[-1].time_s
        if action.kind == "wait":
            self._wait(action)
        else:
            self._act(action)
            self.beats.append(self._beat(now + HAND_S, action.text))
        return self.beats[begin:]

    def _act(self, action: Action) -> None:
        product, columns = self.product, self._columns
        if action.kind == "move":
            self._columns = _moved(product, columns, action)
            return
        events = {(event.kind, event.name, event.way): event for event in product.events}
        if action.kind == "power":
            self._held_us = dict.fromkeys(product.outputs)
            wanted = events.get(("power", "", 0))
        elif action.kind == "noise":
            wanted = Event("noise", action.name, action.way)
        else:
            lost = SIGNAL in columns and bool(columns[SIGNAL][0])
            wanted = events.get(("signal", "", 0)) if lost == (action.kind == "return") else None
            if wanted is not None:
                self._held_us = pulses_of(product, columns, self._held_us)
        if wanted is not None:
            (self._columns,) = product.after(columns, wanted)

    def _wait(self, action: Action) -> None:
        """Tick by tick; a remainder shorter than a tick is kept for the next wait."""
        now, end = self.beats[-1].time_s, self.beats[-1].time_s + action.seconds
        tick_s = self.product.tick_s
        if tick_s is not None:
            self._waited_s += action.seconds
            shown = self._shown()
            while self._waited_s >= tick_s - 1e-9:
                self._waited_s -= tick_s
                now += tick_s
                self._columns = self.product.ticked(self._columns)
                if self._shown() != shown and now < end - 1e-9:  # at the end the wait's own beat shows it
                    shown = self._shown()
                    self.beats.append(self._beat(now, "time passes"))
        self.beats.append(self._beat(end, action.text))

    def _shown(self) -> dict[str, str]:
        return {name: mode_told(self.product, name, int(self._columns[name][0])) for name in self.product.tables}

    def _beat(self, time_s: float, action: str) -> Beat:
        step = step_at(self.product, action, self._columns, self._held_us)
        return Beat(round(time_s, 6), step, self._current())

    def _current(self) -> float | None:
        if self.currents_a is None:
            return None
        total = self.receiver_a
        for name, (quiet_a, on_a) in self.currents_a.items():
            table, state = self.product.tables[name], int(self._columns[name][0])
            if table.lit[state]:
                total += quiet_a if table.mode[state] == self.product.setup.device(name).quiet else on_a
        return total


def _moved(product: Product, columns: Columns, action: Action) -> Columns:
    """A hand takes a control to a position, through all that lies between if it is swept."""
    level = product.levels[action.name].index(action.position)
    now = int(columns[hand(action.name)][0])
    if level == now:
        return columns
    if not product.setup.control(action.name).swept:
        way = OTHER if len(product.levels[action.name]) == 2 else level
        (after,) = product.after(columns, Event("move", action.name, way))
        return after
    for after in product.after(columns, Event("move", action.name, 1 if level > now else -1)):
        columns = after
        if int(after[hand(action.name)][0]) == level:
            break
    return columns


def rehearsed(
    setup: Setup,
    actions: list[Action],
    *,
    currents_a: Mapping[str, tuple[float, float]] | None = None,
    receiver_a: float = 0.0,
) -> tuple[Beat, ...]:
    """All beats of some actions, from power-up on."""
    rehearsal = Rehearsal(setup, actions, currents_a=currents_a, receiver_a=receiver_a)
    for action in actions:
        rehearsal.play(action)
    return tuple(rehearsal.beats)
