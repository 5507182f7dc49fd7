"""What a drive is computed from: plain numbers over samples, from the pack to the air under the shell.

Every array is (samples,) unless it says otherwise, in V, A, ohm, W, s, kg, m, degC.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Numbers
from coachwork.studies.power.pack import Chemistry
from coachwork.studies.result import Result

Flags = NDArray[np.bool_]
Ints = NDArray[np.intp]
T = TypeVar("T")
P = TypeVar("P", bound="Result")


@dataclass(frozen=True, kw_only=True, eq=False)
class Pack(Result):
    """A source behind a resistance and one slow overvoltage (the Thevenin model with one RC pair).

    charge_as      : what it holds, in ampere seconds
    resistance_ohm : of the whole pack, within the first second
    slow_ohm       : what comes on top with the time constant `slow_s`
    lead_ohm       : wires and connectors from its plug to the controller and back
    share          : of its charge, when the drive begins
    """

    chemistry: Chemistry
    cells: Numbers
    charge_as: Numbers
    resistance_ohm: Numbers
    slow_ohm: Numbers
    slow_s: Numbers
    lead_ohm: Numbers
    share: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Controller(Result):
    """A chopper: a resistance while it conducts (at 25 degC), time lost in each switching, a current of its own.

    beat : rise and fall of the voltage together, times the switchings a second: a pure number
    """

    on_ohm: Numbers
    beat: Numbers
    idle_a: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Regulator(Result):
    """The receiver's supply. `linear` burns the difference of the voltages; otherwise `efficiency` says what is lost.

    dropout_v : how far its input has to stay above its output
    limit_a   : where it limits its current
    own_ohm   : by how much its output falls with its current; rail_ohm : of the leads from there to the receiver and
                back, plugs and switches with them
    """

    linear: Flags
    out_v: Numbers
    dropout_v: Numbers
    efficiency: Numbers
    limit_a: Numbers
    own_ohm: Numbers
    rail_ohm: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Motor(Result):
    """The equivalent direct-current machine. constant_vs : V s/rad, the same number in N m/A; ohm at 25 degC."""

    constant_vs: Numbers
    ohm: Numbers
    no_load_a: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Running(Result):
    """From the ground to the motor's shaft.

    rad_m      : turn of the motor for a metre of way
    efficiency : of gears and joints, motor to ground
    rolling    : resistance to rolling, as a share of the weight
    """

    mass_kg: Numbers
    rad_m: Numbers
    efficiency: Numbers
    rolling: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Vehicle:
    """All of it but for the heat."""

    pack: Pack
    controller: Controller
    regulator: Regulator
    motor: Motor
    running: Running


def many(n: int, value: Numbers | float) -> Numbers:
    """The same for every one of n samples, or an array that is for each its own."""
    return np.broadcast_to(np.asarray(value, dtype=float), (n,)).copy()


def stacked(parts: list[P]) -> P:
    """The same thing in several variants, one behind the other along the samples."""
    one = parts[0]
    joined = {
        field.name: np.concatenate([np.atleast_1d(getattr(part, field.name)) for part in parts])
        if isinstance(getattr(one, field.name), np.ndarray)
        else getattr(one, field.name)
        for field in fields(one)
    }
    return type(one)(**joined)


def taken(whole: T, samples: Ints) -> T:
    """The same thing for some of the samples: arrays by their first axis, all else part by part."""
    if isinstance(whole, np.ndarray):
        return whole[samples]  # type: ignore[return-value]
    if isinstance(whole, tuple):
        return tuple(taken(item, samples) for item in whole)  # type: ignore[return-value]
    if isinstance(whole, Mapping):
        return {name: taken(item, samples) for name, item in whole.items()}  # type: ignore[return-value]
    if is_dataclass(whole) and not isinstance(whole, type):
        parts = {one.name: taken(getattr(whole, one.name), samples) for one in fields(whole)}
        return type(whole)(**parts)
    return whole
