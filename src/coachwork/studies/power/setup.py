"""All that a drive needs, from the build's tables; and the same drive otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.duty import Duty
from coachwork.studies.driveline.gather import vehicle_of
from coachwork.studies.parts import CannotBe, attempt, need_all
from coachwork.studies.power.duty import BUILT_IN, Leg, mean_speed_m_s
from coachwork.studies.power.electrics import vehicle_from
from coachwork.studies.power.guards import Guard, Trip
from coachwork.studies.power.heat import STILL, Body
from coachwork.studies.power.protections import guards_from
from coachwork.studies.power.rail import rail_a
from coachwork.studies.power.tables import Tables, is_built_in, receivers_regulator
from coachwork.studies.power.vehicle import Vehicle, many
from coachwork.studies.power.warm_parts import body_from
from coachwork.studies.supply import cells_in_series


@dataclass(frozen=True, kw_only=True, eq=False)
class Setup:
    """All that a drive needs, over samples.

    regulator, hottest_degc : the supply's name in the build; what its maker allows the motor's can
    """

    vehicle: Vehicle
    body: Body
    guards: tuple[Guard, ...]
    rail_a: Mapping[str, Numbers]
    legs: tuple[Leg, ...]
    seconds: float
    regulator: str
    hottest_degc: Numbers

    @property
    def samples(self) -> int:
        """How many."""
        return self.vehicle.pack.share.size

    def guard(self, trip: Trip) -> Guard:
        """By its name."""
        return next(guard for guard in self.guards if guard.trip == trip)


def setup_of(t: Tables) -> Setup:
    """Raises NotMeasured naming all that lacks; CannotBe where nothing feeds the receiver."""
    name, regulator = receivers_regulator(t.regulators, t.wiring)
    shell = t.shell
    need_all(
        attempt(cells_in_series, t.pack), attempt(require, shell.length, shell.width, shell.height),
        attempt(vehicle_of, t.gear, t.gearing, t.wheels, t.loads, shell, "as changed"),
        attempt(rail_a, t.radio, t.wiring),
    )  # fmt: skip
    legs = legs_of(t.duty)
    vehicle = vehicle_from(t, name, regulator)
    n = vehicle.pack.share.size
    built_in = is_built_in(regulator)
    sink = regulator.heat_resistance if not built_in or regulator.heat_resistance.given else t.heat.controller_to_air
    return Setup(
        vehicle=vehicle, body=body_from(t, n, built_in=built_in, sink_k_w=sink.k_per_w, speed_m_s=mean_speed_m_s(legs)),
        guards=guards_from(t, regulator, n), regulator=name,
        rail_a={state: many(n, amps) for state, amps in rail_a(t.radio, t.wiring).items()},
        legs=legs, seconds=float(t.duty.time.s.flat[0]), hottest_degc=many(n, t.motor.hottest.degc),
    )  # fmt: skip


def legs_of(duty: Duty) -> tuple[Leg, ...]:
    """The builder's own round, or the built-in one. Raises CannotBe where its file cannot be read."""
    if duty.broken is not None:
        raise CannotBe(f"the round of driving cannot be read (duty.file): {duty.broken}")
    if duty.rows:
        return tuple(
            Leg(seconds=r.seconds, speed_m_s=r.speed_m_s, gradient=r.gradient, loads=r.loads, what=r.what)  # type: ignore[arg-type]
            for r in duty.rows
        )
    return BUILT_IN[duty.round]


def opened(setup: Setup) -> Setup:
    """Without its shell."""
    return replace(setup, body=replace(setup.body, closed=np.zeros(setup.samples, dtype=bool)))


def vented(setup: Setup, *, by_m2: float, height_m: Numbers) -> Setup:
    """With more openings, and the high ones this far over the low ones."""
    body = setup.body
    tall = np.maximum(body.opening_m, height_m)
    return replace(setup, body=replace(body, opening_m2=body.opening_m2 + by_m2, opening_m=tall))


def separated(setup: Setup, *, efficiency: float, sink_k_w: float) -> Setup:
    """Fed by a separate switching regulator of the same voltage and limit."""
    n, regulator = setup.samples, setup.vehicle.regulator
    switching = replace(
        regulator, linear=np.zeros(n, dtype=bool), efficiency=np.full(n, efficiency), dropout_v=np.full(n, 0.5)
    )
    body = replace(
        setup.body, built_in=np.zeros(n, dtype=bool), separate_m2=np.full(n, 1 / (STILL * sink_k_w))
    )  # fmt: skip
    return replace(setup, vehicle=replace(setup.vehicle, regulator=switching), body=body)


def built_in_instead(t: Tables) -> Setup | None:
    """Fed by the controller's built-in regulator, where the build has one that is not used; without any lead from it.

    Raises NotMeasured.
    """
    spare = {name: one for name, one in t.regulators.each.items() if not one.used and is_built_in(one)}
    if not spare or is_built_in(receivers_regulator(t.regulators, t.wiring)[1]):
        return None
    name, one = next(iter(spare.items()))
    alone = t.regulators.model_copy(update={"each": {name: one.model_copy(update={"used": True})}})
    return setup_of(replace(t, regulators=alone))
