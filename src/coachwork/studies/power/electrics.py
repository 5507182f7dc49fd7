"""From the tables to the circuit: pack, controller, the receiver's regulator, motor, and what the wheels ask of it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from coachwork.build.sections.pack import Chemistry as PackChemistry
from coachwork.build.sections.regulators import Regulator as RegulatorTable
from coachwork.studies.driveline.gather import gears_of, motor_of, vehicle_of
from coachwork.studies.power.pack import Chemistry
from coachwork.studies.power.tables import Tables
from coachwork.studies.power.vehicle import Controller, Motor, Pack, Regulator, Running, Vehicle, many
from coachwork.studies.supply import cells_in_series, pack_leads_ohm, switches_ohm, way_ohm
from coachwork.studies.wiring.assemble import continuous_a

CURVE_OF: Mapping[PackChemistry, Chemistry] = {
    "lithium polymer": "lipo", "lithium ion": "lipo", "lithium iron phosphate": "life", "nickel metal hydride": "nimh",
}  # fmt: skip
# A polymer cell's overvoltage of seconds to minutes: 0.63 of its first resistance, with 33 s. Chen and Rincon-Mora,
# IEEE Trans. Energy Conversion 21 (2006) 504, the constant parts of their fit; from memory.
SLOW_SHARE, SLOW_S = 0.63, 33.0
BEAT = 2e-3  # edges of 1 us together, 2000 times a second; common practice, no source
IDLE_A = 0.04  # of the controller's own circuits; common practice, no source


def vehicle_from(t: Tables, name: str, regulator: RegulatorTable) -> Vehicle:
    """All of it but for the heat, (samples,). Raises NotMeasured."""
    limit_a = continuous_a(regulator, table=t.regulators, radio=t.radio)
    leads = way_ohm(t.wiring, begins=name, ends="receiver")
    motor, gears = motor_of(t.motor), gears_of(t.gearing, t.changes, "as changed")
    road = vehicle_of(t.gear, t.gearing, t.wheels, t.loads, t.shell, "as changed")
    ohm = t.pack.resistance.ohm
    n = max(array.size for array in (ohm, road.mass_g, motor.constant_v_s))
    linear = regulator.kind == "linear"
    return Vehicle(
        pack=Pack(
            chemistry=CURVE_OF[t.pack.chemistry], cells=many(n, cells_in_series(t.pack)),
            charge_as=many(n, t.pack.capacity.mah * 3.6), resistance_ohm=many(n, ohm),
            slow_ohm=many(n, SLOW_SHARE * ohm), slow_s=many(n, SLOW_S), lead_ohm=many(n, pack_leads_ohm(t.wiring)),
            share=np.ones(n),
        ),
        controller=Controller(
            on_ohm=many(n, switches_ohm(t.controller)), beat=many(n, BEAT), idle_a=many(n, IDLE_A)
        ),
        regulator=Regulator(
            linear=np.full(n, linear), out_v=many(n, regulator.voltage.v),
            dropout_v=many(n, regulator.drop_out.v if linear else 0.0),
            efficiency=many(n, 1.0 if linear else regulator.efficiency.ratio), limit_a=many(n, limit_a),
            own_ohm=many(n, regulator.resistance.ohm), rail_ohm=many(n, 0.0 if leads is None else leads),
        ),
        motor=Motor(
            constant_vs=many(n, motor.constant_v_s), ohm=many(n, motor.resistance_ohm),
            no_load_a=many(n, motor.no_load_a),
        ),
        running=Running(
            mass_kg=many(n, road.mass_g / 1000), rad_m=many(n, gears.ratio / (road.radius_mm / 1000)),
            efficiency=many(n, t.gearing.efficiency.ratio), rolling=many(n, road.rolling),
        ),
    )  # fmt: skip
