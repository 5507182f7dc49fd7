"""An invented vehicle in plain numbers: two cells, a linear regulator on the controller's board, a closed shell."""

from dataclasses import dataclass, field, replace

import numpy as np

from coachwork.studies.power.drive import drive
from coachwork.studies.power.duty import Leg, stretches
from coachwork.studies.power.guards import Guard
from coachwork.studies.power.heat import Body, network
from coachwork.studies.power.vehicle import Controller, Motor, Pack, Regulator, Running, Vehicle

ROUND = (
    Leg(seconds=25, speed_m_s=0.8),
    Leg(seconds=10, speed_m_s=0.0, loads="heavy"),
    Leg(seconds=15, speed_m_s=0.5, gradient=0.15),
    Leg(seconds=20, speed_m_s=0.8),
    Leg(seconds=8, speed_m_s=0.0),
)
NUMBERS = {
    "cells": 2.0, "charge_as": 5 * 3600.0, "resistance_ohm": 0.02, "slow_ohm": 0.012, "slow_s": 30.0, "lead_ohm": 0.008,
    "share": 1.0, "on_ohm": 0.004, "beat": 2e-3, "idle_a": 0.04, "linear": True, "out_v": 5.0, "dropout_v": 0.8,
    "efficiency": 0.85, "limit_a": 3.0, "own_ohm": 0.03, "rail_ohm": 0.05,
    "constant_vs": 60 / (2 * np.pi * 1800), "ohm": 0.1, "no_load_a": 1.2,
    "mass_kg": 2.75, "rad_m": 10 / 0.035, "gears": 0.75, "rolling": 0.04, "closed": True, "built_in": True,
    "outside_degc": 22.0, "pack_j_k": 300.0, "pack_m2": 0.015, "controller_j_k": 35.0, "controller_m2": 0.006,
    "regulator_j_k": 3.0, "board_k_w": 8.0, "separate_m2": 0.003, "windings_j_k": 25.0, "can_j_k": 60.0,
    "windings_k_w": 2.0, "can_m2": 0.007, "mount_w_k": 0.15, "shell_j_k": 600.0, "shell_m2": 0.33, "wall_m2kw": 0.01,
    "room_m3": 0.012, "opening_m2": 0.001, "opening_m": 0.1, "speed_m_s": 0.6, "quiet": 0.12, "usual": 1.5,
    "heavy": 2.2,
}  # fmt: skip
PARTS = {
    "pack": (Pack, "cells charge_as resistance_ohm slow_ohm slow_s lead_ohm share"),
    "controller": (Controller, "on_ohm beat idle_a"),
    "regulator": (Regulator, "linear out_v dropout_v efficiency limit_a own_ohm rail_ohm"),
    "motor": (Motor, "constant_vs ohm no_load_a"),
}


@dataclass(frozen=True)
class Case:
    """Numbers by name, each one number or one for each sample; `guards` as (name, watches, limit, and the rest)."""

    numbers: dict = field(default_factory=lambda: dict(NUMBERS))
    guards: tuple = ()
    legs: tuple = ROUND
    chemistry: str = "lipo"

    def but(self, **changes):
        """The same case with some numbers, guards or legs changed."""
        own = {name: changes.pop(name) for name in ("guards", "legs", "chemistry") if name in changes}
        assert set(changes) <= set(self.numbers), changes
        return replace(self, numbers={**self.numbers, **changes}, **own)

    @property
    def samples(self):
        return max(np.size(value) for value in self.numbers.values())

    def array(self, name):
        value = np.asarray(self.numbers[name])
        return np.broadcast_to(value if value.dtype == bool else value.astype(float), (self.samples,)).copy()

    def vehicle(self):
        parts = {
            name: kind(**{key: self.array(key) for key in keys.split()}, **more)
            for name, (kind, keys, more) in self._parts().items()
        }
        running = Running(
            mass_kg=self.array("mass_kg"), rad_m=self.array("rad_m"), efficiency=self.array("gears"),
            rolling=self.array("rolling"),
        )  # fmt: skip
        return Vehicle(**parts, running=running)

    def _parts(self):
        more = {"pack": {"chemistry": self.chemistry}}
        return {name: (kind, keys, more.get(name, {})) for name, (kind, keys) in PARTS.items()}

    def net(self):
        return network(Body(**{key: self.array(key) for key in Body.__dataclass_fields__}))

    def made_guards(self):
        return tuple(self._guard(*guard) for guard in self.guards)

    def _guard(self, trip, watches, limit, acts, resets="off-on", back=0.0, hold_s=0.0):
        many = lambda value: np.broadcast_to(np.asarray(value, dtype=float), (self.samples,)).copy()  # noqa: E731
        return Guard(
            trip=trip, watches=watches, limit=many(limit), hold_s=many(hold_s), fitted=np.ones(self.samples, bool),
            acts=acts, resets=resets, back=many(back),
        )  # fmt: skip

    def rail_a(self):
        return {state: self.array(state) for state in ("quiet", "usual", "heavy")}

    def drive(self, seconds, **more):
        return drive(
            self.vehicle(), self.net(), self.made_guards(), stretches(self.legs), rail_a=self.rail_a(),
            seconds=seconds, **more,
        )  # fmt: skip


def case_of(setup, guards=()):
    """The first sample of a build's own drive in the form of a case, for another route to the same numbers."""
    numbers = {}
    vehicle = setup.vehicle
    for part in (vehicle.pack, vehicle.controller, vehicle.regulator, vehicle.motor, setup.body):
        for name in part.__dataclass_fields__:
            value = getattr(part, name)
            if isinstance(value, np.ndarray):
                numbers[name] = value[0].item()
    run = vehicle.running
    numbers |= {"mass_kg": run.mass_kg[0], "rad_m": run.rad_m[0], "gears": run.efficiency[0], "rolling": run.rolling[0]}
    numbers |= {state: amps[0] for state, amps in setup.rail_a.items()}
    return Case(numbers=numbers, guards=guards, legs=setup.legs, chemistry=vehicle.pack.chemistry)
