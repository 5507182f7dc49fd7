"""Each kind of device as a small machine, and any such machine as tables that an explorer can look up at once.

A device's state is what it remembers; its input is the band its pulse lies in and whether it has power. What it does
with either is written here for people; `tabulated` turns it into whole numbers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from coachwork.studies.radio.setup import Device

Whole = NDArray[np.intp]
FIRED = -1  # in place of how long a button has been held: its long press has been taken


class Band(IntEnum):
    """Where a pulse lies against a device's two cuts."""

    BELOW = 0
    BETWEEN = 1
    ABOVE = 2
    NONE = 3  # no pulse at all


@dataclass(frozen=True)
class State:
    """What one device remembers.

    mode    : which of its modes it is in
    powered : whether it has power; without, `mode` is the one it will wake up in
    pressed : on which side of its cuts the pulse was last seen, for kinds that switch
    held    : ticks the press has lasted, for kinds that wait for a long one
    idle    : ticks since it last did anything, for kinds that time out
    expired : whether it timed out and waits for the pulse to change
    waiting : whether it still waits to see neutral
    """

    mode: int
    powered: bool = False
    pressed: bool = False
    held: int = 0
    idle: int = 0
    expired: bool = False
    waiting: bool = False


@dataclass(frozen=True)
class Machine:
    """A device with its times in ticks."""

    device: Device
    hold_ticks: int = 0
    time_out_ticks: int = 0

    @property
    def start(self) -> State:
        """Before it has ever had power."""
        return State(mode=self.device.starts)

    def step(self, state: State, band: Band, powered: bool) -> State:
        """What follows from its input, at once."""
        if not powered:
            return self._dark(state)
        if not state.powered:
            state = self._woken(state, band)
            return self._following(state, band) if self.device.kind in ("proportional", "switched") else state
        match self.device.kind:
            case "plain":
                return state
            case "proportional" | "switched":
                return self._following(state, band)
            case "cycling" | "held":
                return self._pressed(state, band)

    def tick(self, state: State) -> State:
        """What a tick of time does."""
        if not state.powered:
            return state
        state = self._held(state)
        if not self.time_out_ticks or state.mode == self.device.quiet or state.expired:
            return state
        state = replace(state, idle=state.idle + 1)
        if state.idle < self.time_out_ticks:
            return state
        return replace(state, mode=self.device.quiet, idle=0, expired=self.device.kind in ("proportional", "switched"))

    def _dark(self, state: State) -> State:
        if not state.powered:
            return state
        return State(mode=state.mode if self.device.keeps_memory else self.device.starts)

    def _woken(self, state: State, band: Band) -> State:
        """A press that was there before it woke up is none."""
        device = self.device
        mode = 1 if device.kind == "plain" else state.mode
        if device.kind in ("proportional", "switched"):
            mode = device.quiet
        pressed = self._side(band, False)
        return State(mode=mode, powered=True, pressed=pressed, held=FIRED if pressed and self.hold_ticks else 0,
                     waiting=device.waits_for_neutral and device.kind == "proportional")  # fmt: skip

    def _side(self, band: Band, before: bool) -> bool:
        """Whether the pulse is on the side of on: as before between the cuts."""
        if band is Band.NONE:
            return before if self.device.keeps_without_pulse else False
        if band is Band.BETWEEN:
            return before
        return (band is Band.BELOW) == self.device.below

    def _following(self, state: State, band: Band) -> State:
        device = self.device
        if device.kind == "switched":
            pressed = self._side(band, state.pressed)
            mode = 1 if pressed else 0
        else:
            pressed = False
            mode = device.quiet if band is Band.NONE else int(Band.ABOVE - band if device.below else band)
            if band is Band.NONE and device.keeps_without_pulse:
                mode = state.mode
        waiting = state.waiting and band is not Band.BETWEEN
        if waiting:
            mode = device.quiet
        changed = pressed != state.pressed or (mode != state.mode and not state.expired)
        expired = state.expired and pressed == state.pressed and mode != device.quiet
        if expired:
            mode = device.quiet
        idle = 0 if changed or mode == device.quiet else state.idle
        return replace(state, mode=mode, pressed=pressed, waiting=waiting, idle=idle, expired=expired)

    def _pressed(self, state: State, band: Band) -> State:
        device = self.device
        pressed = self._side(band, state.pressed)
        if pressed == state.pressed:
            return state
        short = device.kind == "cycling" and state.held != FIRED
        if self.hold_ticks:  # a press is known to be short only when it ends
            counted = short and not pressed
        else:
            counted = short and (device.counts == "both" or (device.counts == "press") == pressed)
        mode = (state.mode + 1) % len(device.modes) if counted else state.mode
        return replace(state, mode=mode, pressed=pressed, held=0, idle=0)

    def _held(self, state: State) -> State:
        """A press goes on for another tick."""
        if not self.hold_ticks or not state.pressed or state.held == FIRED:
            return state
        if state.held + 1 < self.hold_ticks:
            return replace(state, held=state.held + 1)
        device = self.device
        mode = (state.mode + 1) % len(device.modes) if device.kind == "held" else device.held_mode
        return replace(state, mode=mode, held=FIRED, idle=0)


@dataclass(frozen=True, eq=False)
class Table:
    """A machine as tables; states are numbered from 0, the one before it has power first.

    after  : (states * bands * 2,), where a state goes for a band without and with power
    ticked : (states,), where it goes in a tick
    mode   : (states,), the mode it shows: the quiet one without power
    lit    : (states,), whether it has power
    """

    after: Whole
    ticked: Whole
    mode: Whole
    lit: NDArray[np.bool_]

    @property
    def size(self) -> int:
        """How many states."""
        return self.mode.size

    @cached_property
    def timed(self) -> bool:
        """Whether time alone moves it."""
        return bool((self.ticked != np.arange(self.size)).any())

    @cached_property
    def form(self) -> bytes:
        """What decides where it goes."""
        return self.after.tobytes() + self.ticked.tobytes()


def tabulated(machine: Machine) -> Table:
    """Every state the machine can get into from its start, whatever its inputs are."""
    # Name, channel and pulses do not matter to it, so the same table serves wherever only those differ.
    device = machine.device
    bare = Device(
        name="", kind=device.kind, modes=device.modes, quiet=device.quiet, below=device.below, counts=device.counts,
        held_mode=device.held_mode, starts=device.starts, keeps_memory=device.keeps_memory,
        keeps_without_pulse=device.keeps_without_pulse, waits_for_neutral=device.waits_for_neutral,
    )  # fmt: skip
    return _tabulated(replace(machine, device=bare))


@lru_cache(maxsize=512)
def _tabulated(machine: Machine) -> Table:
    numbers = {machine.start: 0}
    states = [machine.start]

    def number(state: State) -> int:
        if state not in numbers:
            numbers[state] = len(states)
            states.append(state)
        return numbers[state]

    after: list[int] = []
    ticked: list[int] = []
    for state in states:  # grows while it is walked
        after += [number(machine.step(state, band, powered)) for band in Band for powered in (False, True)]
        ticked.append(number(machine.tick(state)))
    quiet = machine.device.quiet
    return Table(
        after=np.array(after, dtype=np.intp),
        ticked=np.array(ticked, dtype=np.intp),
        mode=np.array([state.mode if state.powered else quiet for state in states], dtype=np.intp),
        lit=np.array([state.powered for state in states]),
    )
