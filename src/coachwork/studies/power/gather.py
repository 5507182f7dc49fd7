"""From the build's tables to the plain numbers of a drive. Raises NotMeasured naming every number that is blank."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.controller import Controller as ControllerTable
from coachwork.build.sections.cut_outs import CutOuts
from coachwork.build.sections.duty import Duty
from coachwork.build.sections.gearing import Gearing
from coachwork.build.sections.heat import Heat
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.motor import Motor as MotorTable
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.pack import Chemistry as PackChemistry
from coachwork.build.sections.pack import Pack as PackTable
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.regulators import Regulator as RegulatorTable
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels
from coachwork.build.sections.wiring import Load, Wiring
from coachwork.studies.driveline.gather import gears_of, motor_of, vehicle_of
from coachwork.studies.parts import CannotBe, attempt, is_missing
from coachwork.studies.power.duty import BUILT_IN, Leg, mean_speed_m_s
from coachwork.studies.power.guards import Guard, Trip
from coachwork.studies.power.heat import STILL, Body
from coachwork.studies.power.pack import Chemistry
from coachwork.studies.power.rail import rail_a
from coachwork.studies.power.vehicle import Controller, Motor, Pack, Regulator, Running, Vehicle
from coachwork.studies.wiring.assemble import lead_facts

CURVE_OF: Mapping[PackChemistry, Chemistry] = {
    "lithium polymer": "lipo", "lithium ion": "lipo", "lithium iron phosphate": "life", "nickel metal hydride": "nimh",
}  # fmt: skip
# A polymer cell's overvoltage of seconds to minutes: 0.63 of its first resistance, with 33 s. Chen and Rincon-Mora,
# IEEE Trans. Energy Conversion 21 (2006) 504, the constant parts of their fit; from memory.
SLOW_SHARE, SLOW_S = 0.63, 33.0
LEADS_OHM = 0.008  # pack to controller and back, where the wiring does not say; common practice, no source
ON_V = 0.15  # across the controller's switches at its rated current; common practice, no source
BEAT = 2e-3  # edges of 1 us together, 2000 times a second; common practice, no source
IDLE_A = 0.04  # of the controller's own circuits; common practice, no source
CONTROLLER_J_GK, PACK_J_GK, SHELL_J_GK = 0.8, 1.0, 1.4  # board and aluminium; lithium cells; styrene: from memory
CHIP_J_K = 3.0  # a chip with its tab and the copper round it; common practice, no source
WALL_W_MK = 0.2  # unfilled plastics, handbook value from memory
PACK_G_CM3 = 2.0  # of a lithium pack in its case; common practice, no source
ROOM_SHARE = 0.6  # of length x width x height, that air fills
CHIP_BACK_K, CONTROLLER_BACK_K = 20.0, 15.0  # how far it must cool to run again; makers' sheets, from memory
CUT_OFF_HOLD_S, BROWN_OUT_HOLD_S = 1.0, 0.01  # how long a voltage must be low to count; common practice, no source


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


@dataclass(frozen=True, kw_only=True, eq=False)
class Tables:
    """The tables it all comes from."""

    shell: Shell
    gear: RunningGear
    gearing: Gearing
    motor: MotorTable
    pack: PackTable
    controller: ControllerTable
    regulators: Regulators
    wheels: Wheels
    loads: Loads
    changes: Changes
    radio: Radio
    wiring: Wiring
    heat: Heat
    cut_outs: CutOuts
    duty: Duty


def setup_of(t: Tables) -> Setup:
    """Raises NotMeasured; CannotBe where nothing feeds the receiver."""
    name, regulator = receivers_regulator(t.regulators, t.wiring)
    limit = regulator.current_limit if regulator.current_limit.given else t.radio.receiver.supply_limit
    built_in = is_built_in(regulator)
    sink = regulator.heat_resistance if not built_in or regulator.heat_resistance.given else t.heat.controller_to_air
    require(
        t.pack.cells, t.pack.capacity, t.pack.resistance, t.controller.current_limit, regulator.voltage,
        regulator.drop_out if regulator.kind == "linear" else regulator.efficiency, regulator.trips_at, limit, sink,
        t.motor.speed_per_volt, t.motor.resistance, t.motor.no_load_current, t.gearing.internal_ratio,
        t.shell.length, t.shell.width, t.shell.height, t.duty.time,
    )  # fmt: skip
    legs = legs_of(t.duty)
    vehicle = _vehicle(t, regulator, limit_a=limit.a)
    n = vehicle.pack.share.size
    body = _body(t, n, built_in=built_in, sink_k_w=sink.k_per_w, speed_m_s=mean_speed_m_s(legs))
    return Setup(
        vehicle=vehicle, body=body, guards=_guards(t, regulator, n), regulator=name,
        rail_a={state: _many(n, amps) for state, amps in rail_a(t.radio, t.wiring).items()},
        legs=legs, seconds=float(t.duty.time.s.flat[0]), hottest_degc=_many(n, t.motor.hottest.degc),
    )  # fmt: skip


def legs_of(duty: Duty) -> tuple[Leg, ...]:
    """The builder's own round, or the built-in one."""
    if duty.rows:
        return tuple(
            Leg(seconds=r.seconds, speed_m_s=r.speed_m_s, gradient=r.gradient, loads=r.loads, what=r.what)  # type: ignore[arg-type]
            for r in duty.rows
        )
    return BUILT_IN[duty.round]


def receivers_regulator(regulators: Regulators, wiring: Wiring) -> tuple[str, RegulatorTable]:
    """Of those used: the one that a lead joins to the receiver, else the built-in, else the first. Raises CannotBe."""
    used = {name: one for name, one in regulators.each.items() if one.used}
    if not used:
        raise CannotBe(
            "nothing feeds the receiver yet: write the controller's built-in regulator, or your own, in [regulators]"
        )
    for lead in wiring.leads.values():
        if lead.ends.strip() == "receiver" and lead.begins.strip() in used:
            return lead.begins.strip(), used[lead.begins.strip()]
    name = next(iter([*(name for name, one in used.items() if is_built_in(one)), *used]))
    return name, used[name]


def leads_ohm(wiring: Wiring) -> Numbers:
    """All that lies between pack and controller, there and back; a usual value where the wiring does not say it all."""
    into = {lead.ends.strip(): name for name, lead in wiring.leads.items()}
    here, total = "controller", np.zeros(1)
    for _ in range(len(into)):  # leads that run in a circle end here
        name = into.get(here)
        facts = None if name is None else attempt(lead_facts, name, wiring.leads[name], wiring)
        if facts is None or is_missing(facts):
            break
        total, here = total + facts.ohm, wiring.leads[str(name)].begins.strip()
        if here == "pack":
            return np.asarray(total)
    return np.array([LEADS_OHM])


def is_built_in(regulator: RegulatorTable) -> bool:
    """Whether it sits on the controller's board."""
    return regulator.fed_by.strip() == "controller"


def _many(n: int, value: Numbers | float) -> Numbers:
    return np.broadcast_to(np.asarray(value, dtype=float), (n,)).copy()


def _vehicle(t: Tables, regulator: RegulatorTable, *, limit_a: Numbers) -> Vehicle:
    motor, gears = motor_of(t.motor), gears_of(t.gearing, t.changes, "as changed")
    road = vehicle_of(t.gear, t.gearing, t.wheels, t.loads, t.shell, "as changed")
    ohm = t.pack.resistance.ohm
    n = max(array.size for array in (ohm, road.mass_g, motor.constant_v_s))
    linear = regulator.kind == "linear"
    return Vehicle(
        pack=Pack(
            chemistry=CURVE_OF[t.pack.chemistry], cells=_many(n, t.pack.cells.count),
            charge_as=_many(n, t.pack.capacity.mah * 3.6), resistance_ohm=_many(n, ohm),
            slow_ohm=_many(n, SLOW_SHARE * ohm), slow_s=_many(n, SLOW_S), lead_ohm=_many(n, leads_ohm(t.wiring)),
            share=np.ones(n),
        ),
        controller=Controller(
            on_ohm=_many(n, ON_V / t.controller.current_limit.a), beat=_many(n, BEAT), idle_a=_many(n, IDLE_A)
        ),
        regulator=Regulator(
            linear=np.full(n, linear), out_v=_many(n, regulator.voltage.v),
            dropout_v=_many(n, regulator.drop_out.v if linear else 0.0),
            efficiency=_many(n, 1.0 if linear else regulator.efficiency.ratio), limit_a=_many(n, limit_a),
        ),
        motor=Motor(
            constant_vs=_many(n, motor.constant_v_s), ohm=_many(n, motor.resistance_ohm),
            no_load_a=_many(n, motor.no_load_a),
        ),
        running=Running(
            mass_kg=_many(n, road.mass_g / 1000), rad_m=_many(n, gears.ratio / (road.radius_mm / 1000)),
            efficiency=_many(n, t.gearing.efficiency.ratio), rolling=_many(n, road.rolling),
        ),
    )  # fmt: skip


def _body(t: Tables, n: int, *, built_in: bool, sink_k_w: Numbers, speed_m_s: float) -> Body:
    heat, motor = t.heat, motor_of(t.motor)
    length, width, height = (entry.mm / 1000 for entry in (t.shell.length, t.shell.width, t.shell.height))
    brick = (heat.pack_mass.g / PACK_G_CM3 / 1.65) ** (2 / 3) * 1e-4  # a pack's sides are about as 3 to 1 to 0.55
    case_k_w = sink_k_w if built_in else heat.controller_to_air.k_per_w
    return Body(
        closed=np.full(n, heat.shell == "closed"), built_in=np.full(n, built_in),
        outside_degc=_many(n, heat.outside.degc),
        pack_j_k=_many(n, PACK_J_GK * heat.pack_mass.g), pack_m2=_many(n, 10.4 * brick),
        controller_j_k=_many(n, CONTROLLER_J_GK * heat.controller_mass.g),
        controller_m2=_many(n, 1 / (STILL * case_k_w)), regulator_j_k=_many(n, CHIP_J_K),
        board_k_w=_many(n, heat.chip_to_case.k_per_w), separate_m2=_many(n, 1 / (STILL * sink_k_w)),
        windings_j_k=_many(n, motor.winding_j_per_k), can_j_k=_many(n, motor.case_j_per_k),
        windings_k_w=_many(n, motor.winding_to_case_k_per_w), can_m2=_many(n, 1 / (STILL * motor.case_to_air_k_per_w)),
        mount_w_k=np.zeros(n), shell_j_k=_many(n, SHELL_J_GK * heat.shell_mass.g),
        shell_m2=_many(n, 2 * (length + width) * height + length * width),
        wall_m2kw=_many(n, heat.wall.mm / 1000 / WALL_W_MK), room_m3=_many(n, ROOM_SHARE * length * width * height),
        opening_m2=_many(n, (heat.gaps.mm2 + heat.vents.mm2) * 1e-6), opening_m=_many(n, heat.opening_height.mm / 1000),
        speed_m_s=_many(n, speed_m_s),
    )  # fmt: skip


def _guards(t: Tables, regulator: RegulatorTable, n: int) -> tuple[Guard, ...]:
    cut, cells = t.cut_outs, t.pack.cells.count
    yes, zero = np.ones(n, dtype=bool), np.zeros(n)
    volts = t.controller.cut_off.v if t.controller.cut_off.given else cut.cell.v * cells
    receiver = t.wiring.loads.get("receiver", Load()).least_voltage
    least = receiver if receiver.given else cut.receiver
    chip, case = _many(n, regulator.trips_at.degc), _many(n, cut.controller.degc)
    latches = regulator.after_trip == "stays off until switched off"
    guards = [
        Guard(
            trip="cell cut-off", watches="bus", limit=_many(n, volts), hold_s=_many(n, CUT_OFF_HOLD_S),
            fitted=_many(n, volts) > 0, acts="motor", resets="off-on", back=zero,
        ),
        Guard(
            trip="controller heat", watches="controller", limit=case, hold_s=zero, fitted=yes, acts="motor",
            resets="off-on" if cut.controller_resets == "off and on" else "cooler", back=case - CONTROLLER_BACK_K,
        ),
        Guard(
            trip="regulator heat", watches="regulator", limit=chip, hold_s=zero, fitted=yes, acts="supply",
            resets="off-on" if latches else "cooler", back=chip - CHIP_BACK_K,
        ),
        Guard(
            trip="brown-out", watches="rail", limit=_many(n, least.v), hold_s=_many(n, BROWN_OUT_HOLD_S),
            fitted=yes, acts="supply", resets="by itself", back=_many(n, np.maximum(cut.receiver_back.s, 0.1)),
        ),
        Guard(
            trip="empty", watches="share", limit=zero, hold_s=zero, fitted=yes, acts="all", resets="never", back=zero
        ),
    ]  # fmt: skip
    if cut.motor.given:
        can = _many(n, cut.motor.degc)
        guards.append(
            Guard(
                trip="motor heat", watches="can", limit=can, hold_s=zero, fitted=yes, acts="motor",
                resets="off-on" if cut.motor_resets == "off and on" else "cooler", back=can - CONTROLLER_BACK_K,
            )
        )  # fmt: skip
    if cut.idle.given:
        guards.append(
            Guard(
                trip="idle time-out", watches="still", limit=zero, hold_s=_many(n, cut.idle.s), fitted=yes, acts="all",
                resets="off-on", back=zero,
            )
        )  # fmt: skip
    return tuple(guards)


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
