"""What is on together: the states in which currents and voltages are asked for, and what each load draws in them.

The radio's machines say what can be on together at most (no sum of everything: its heaviest state that can be reached).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import NotMeasured, Numbers
from coachwork.build.sections.controller import Controller
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.wiring import Load, Wiring
from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.parts import is_missing
from coachwork.studies.radio.from_table import read_setup
from coachwork.studies.radio.loads import loads as radio_loads
from coachwork.studies.radio.setup import Setup
from coachwork.studies.radio.traces import DARK
from coachwork.studies.wiring.netlist import RECEIVER

State = Literal["at rest", "driving", "all on", "servo held", "pulling away"]
Level = Literal["full", "low"]
CASES: tuple[tuple[State, Level], ...] = (
    ("at rest", "full"), ("driving", "full"), ("driving", "low"), ("all on", "full"), ("all on", "low"),
    ("servo held", "low"), ("pulling away", "low"),
)  # fmt: skip
"""The pack full where heat and high volts count, low where low volts do."""
SERVO_SHARE = 0.25  # of the time a servo moves; common practice, no source
STALL_RATIO = 2.5  # of what a servo draws moving, when it is held fast; between 2 and 3, common practice, no source
Status = Literal["dark", "quiet", "on"]


@dataclass(frozen=True, kw_only=True)
class Modes:
    """What each device of the radio does at rest and in the heaviest state; `exact` where that is no mere sum."""

    at_rest: Mapping[str, Status]
    most: Mapping[str, Status]
    exact: bool
    words: Mapping[str, str]  # its mode's name in the heaviest state


def modes_of(radio: Radio) -> Modes:
    """Explores the radio's own machines. Raises NotMeasured.

    Asks the radio's table and not the other study's result: that proves every wish, once more for every spread.
    """
    if not radio.devices:
        return Modes(at_rest={}, most={}, exact=True, words={})
    read = read_setup(radio, 0)
    if keys := [key for lacking in read.lacking.values() for key in lacking]:
        raise NotMeasured(keys)
    try:
        found = radio_loads(radio, read.setup)
    except OverflowError:  # more states than can be counted: everything may be on
        on: dict[str, Status] = {one.name: "on" for one in read.setup.devices}
        return Modes(at_rest=dict.fromkeys(on, "quiet"), most=on, exact=False, words={})
    return Modes(
        at_rest={name: _status(read.setup, name, mode) for name, mode in found.at_rest.modes.items()},
        most={name: _status(read.setup, name, mode) for name, mode in found.most.modes.items()},
        exact=found.exact,
        words=dict(found.most.modes),
    )


def _status(setup: Setup, name: str, mode: str) -> Status:
    if mode == DARK:
        return "dark"
    device = setup.device(name)
    return "quiet" if mode == device.modes[device.quiet] else "on"


@dataclass(frozen=True, kw_only=True)
class Draws:
    """One load's currents, (samples,) in A."""

    idle: Numbers
    typical: Numbers
    peak: Numbers
    stall: Numbers | None

    def in_state(self, state: State, *, at_rest: Status, most: Status) -> Numbers:
        """What it draws; a held servo is held while everything else is on."""
        if state == "at rest":
            return {"dark": np.zeros(1), "quiet": self.idle, "on": self.typical}[at_rest]
        if most != "on":
            return np.zeros(1) if most == "dark" else self.idle
        if state == "servo held" and self.stall is not None:
            return self.stall
        return self.peak if state in ("all on", "servo held") else self.typical


def motor_draws(controller: Controller, pull: DrivelineResult) -> Draws:
    """What the motor draws: as measured, else as driveline has it on its round and pulling away, trigger pulled.

    While driveline lacks a number, a stand-in.
    """
    table, zero = controller, np.zeros(1)
    drive, start = table.motor_drive, table.motor_start
    on_round = None if drive.given or is_missing(pull.round) else pull.round.drawn_a
    at_once = None if start.given or is_missing(pull.changed) else pull.changed.away_a()
    driving = drive.a if on_round is None else on_round
    return Draws(idle=zero, typical=driving, peak=driving, stall=start.a if at_once is None else at_once)


def draws_of(name: str, *, wiring: Wiring, radio: Radio, lights_strings: bool) -> Draws:
    """From its own table, else from the radio's. Raises NotMeasured.

    lights_strings: what it draws when on is its strings' current, which is computed, beside its quiet one.
    """
    own = wiring.loads.get(name, Load())
    if name == RECEIVER:
        current = radio.receiver.current.a
        return Draws(idle=current, typical=current, peak=current, stall=None)
    stall = own.stall.a if own.stall.given else None
    if name in radio.devices:
        device = radio.devices[name]
        quiet = own.idle.a if own.idle.given else device.current_quiet.a
        on = quiet if lights_strings else own.peak.a if own.peak.given else device.current_on.a
        share = SERVO_SHARE if device.kind == "proportional" else 1.0
        typical = own.typical.a if own.typical.given else quiet + share * (on - quiet)
        if device.kind == "proportional" and stall is None:
            stall = np.asarray(STALL_RATIO * on)
        return Draws(idle=quiet, typical=quiet if lights_strings else typical, peak=on, stall=stall)
    if not (own.peak.given or own.typical.given):
        raise NotMeasured([own.typical])
    typical = own.typical.a if own.typical.given else own.peak.a
    peak = own.peak.a if own.peak.given else typical
    return Draws(idle=own.idle.a if own.idle.given else typical, typical=typical, peak=peak, stall=stall)


def motor_state(draws: Draws, state: State) -> Numbers:
    """The motor drives in every state but at rest, and pulls away in one of its own."""
    if state == "at rest":
        return np.zeros(1)
    return draws.stall if state == "pulling away" and draws.stall is not None else draws.typical
