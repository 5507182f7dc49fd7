"""Currents, voltages and heat at one moment, from what the wheels ask for and what is switched on.

The controller is a chopper that keeps its power: it takes from the pack what the motor needs at the speed asked for,
P = I (k w + I (R_motor + R_controller)), as long as its voltage suffices; beyond, the motor runs as fast as it can.
A linear regulator takes its load's current, a switching one its load's power; behind it the regulator's own resistance
and the leads to the receiver take volts off. So the current of the bus is
i = i_c + P / V, and with V = U - R i the voltage is the upper root of V^2 - (U - R i_c) V + R P = 0.

Source: equations of the direct-current machine and of the step-down chopper as any textbook has them, averaged over a
switching period; ripple is left out (it adds to I^2 R what its form factor says, a few per cent at 2 kHz and above).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.demand import Demand
from coachwork.studies.power.heat import AIR, CAN, CONTROLLER, NODES, PACK, REGULATOR, WINDING
from coachwork.studies.power.pack import Chemistry, cell_v
from coachwork.studies.power.vehicle import Flags, Vehicle

COPPER = 0.00393  # 1/K from 20 degC, IEC 60028 (annealed copper)
ON_STATE = 0.005  # 1/K: a switch of silicon gains about half from 25 to 125 degC; makers' sheets, from memory
WARM_DEGC = 25.0  # where resistances are stated
DEAD_V = 0.05  # a bus under this feeds nothing


@dataclass(frozen=True, kw_only=True, eq=False)
class Circuit:
    """The circuit of one stretch with what is switched on: all of it that hangs on no voltage and no temperature.

    A step asks for three of its moments, so this is worked out once. (samples,) but for the chemistry.

    windings_ohm, switches_ohm : at 0 degC, and what each kelvin adds
    driving    : whether the motor drives
    driven_a   : its current while it drives, else 0; braked_a, while it brakes
    asked_v    : its back voltage at the speed asked for
    chopped_a  : what the controller's switching takes; idle_a, what its own circuits take
    limited_a  : what the regulator gives; sagged, the share of their volts that its loads then have, 0 while it is off
    linear_a   : what a linear regulator takes, as a current; steady_w, what a switching one takes, as a power
    least_drop_v           : from the bus to the regulator's output at least
    own_drop_v, lead_drop_v : in the regulator's own resistance and in the leads behind it
    """

    chemistry: Chemistry
    cells: Numbers
    pack_ohm: Numbers
    lead_ohm: Numbers
    slow_ohm: Numbers
    windings_ohm: Numbers
    windings_ohm_k: Numbers
    switches_ohm: Numbers
    switches_ohm_k: Numbers
    no_load_a: Numbers
    driving: Flags
    driven_a: Numbers
    braked_a: Numbers
    asked_v: Numbers
    chopped_a: Numbers
    idle_a: Numbers
    limited_a: Numbers
    sagged: Numbers
    linear_a: Numbers
    steady_w: Numbers
    out_v: Numbers
    least_drop_v: Numbers
    own_drop_v: Numbers
    lead_drop_v: Numbers

    @cached_property
    def ohm(self) -> Numbers:
        """From the cells to the controller and back."""
        return self.pack_ohm + self.lead_ohm

    @cached_property
    def drawn_a(self) -> Numbers:
        """What is taken as a current while the voltage suffices, whatever it is."""
        return self.linear_a + self.idle_a + self.chopped_a

    @cached_property
    def drawn_drop_v(self) -> Numbers:
        """What that takes off the pack's voltage."""
        return self.ohm * self.drawn_a

    @cached_property
    def friction_w(self) -> Numbers:
        """Bearings, brushes and iron at the speed asked for."""
        return self.asked_v * np.minimum(self.no_load_a, self.driven_a)

    @cached_property
    def shaft_w(self) -> Numbers:
        """To the gears at the speed asked for; negative when they drive the motor."""
        return self.asked_v * (self.driven_a - self.braked_a) - self.friction_w

    def at(self, *, degc: Numbers, slow_v: Numbers, share: Numbers) -> Flow:
        """The moment's currents and voltages. degc : (samples, nodes); slow_v, share : (samples,)."""
        windings = self.windings_ohm + self.windings_ohm_k * degc[:, WINDING]
        switches = self.switches_ohm + self.switches_ohm_k * degc[:, CONTROLLER]
        through = windings + switches
        open_v = self.cells * cell_v(self.chemistry, share)
        source = open_v - slow_v
        drawn_a, driven_a, back_v = self.drawn_a, self.driven_a, self.asked_v
        needs_v = back_v + driven_a * through
        power_w = driven_a * needs_v + self.steady_w
        volts = _upper_root(source - self.drawn_drop_v, self.ohm * power_w)
        full = self.driving & (volts < needs_v)
        if strained := bool(full.any()):
            drawn_a, driven_a, back_v, volts = self._held_back(full, source, through, volts)
            power_w = driven_a * (back_v + driven_a * through) + self.steady_w
        current = drawn_a + np.where(volts > DEAD_V, power_w / np.maximum(volts, DEAD_V), 0.0)
        volts = source - self.ohm * current
        held_v = np.maximum(np.minimum(self.out_v, volts - self.least_drop_v), 0.0) * self.sagged
        end_v = np.maximum(held_v - self.own_drop_v, 0.0)
        return Flow(
            of=self, current_a=current, bus_v=volts, end_v=end_v, rail_v=np.maximum(end_v - self.lead_drop_v, 0.0),
            open_v=open_v, slow_v=slow_v, windings_ohm=windings, switches_ohm=switches, through_ohm=through,
            driven_a=driven_a, back_v=back_v, controller_a=drawn_a - self.linear_a, strained=strained,
        )  # fmt: skip

    def _held_back(
        self, full: Flags, source: Numbers, through: Numbers, volts: Numbers
    ) -> tuple[Numbers, Numbers, Numbers, Numbers]:
        """Drawn and driven current, back voltage and volts where some samples run as fast as they can, or are held."""
        ohm, drawn_a = self.ohm, np.where(full, self.linear_a + self.idle_a, self.drawn_a)
        a = 1 + ohm / through  # held fast: V = I R of the motor, so a V^2 - (U - R i_c) V + R P = 0
        held = _upper_root((source - ohm * drawn_a) / a, ohm * self.steady_w / a) / through
        stalled = full & (self.driven_a >= held)
        driven_a = np.where(stalled, held, self.driven_a)
        free_v = _upper_root(source - ohm * (drawn_a + driven_a), ohm * self.steady_w)
        volts = np.where(full, np.where(stalled, held * through, free_v), volts)
        back_v = np.where(full, np.maximum(volts - driven_a * through, 0.0), self.asked_v)
        return drawn_a, driven_a, back_v, volts


@dataclass(frozen=True, kw_only=True, eq=False)
class Flow:
    """One moment of a circuit, (samples,).

    end_v        : at the regulator's output, where its own resistance ends and leads begin
    open_v       : of the resting pack
    driven_a     : through the motor while it drives; back_v, what its turning gives against that
    controller_a : what the controller takes for its own circuits and its switching
    strained     : whether the voltage does not suffice for the speed of some sample
    """

    of: Circuit
    current_a: Numbers
    bus_v: Numbers
    end_v: Numbers
    rail_v: Numbers
    open_v: Numbers
    slow_v: Numbers
    windings_ohm: Numbers
    switches_ohm: Numbers
    through_ohm: Numbers
    driven_a: Numbers
    back_v: Numbers
    controller_a: Numbers
    strained: bool

    @property
    def chemical_w(self) -> Numbers:
        """Open-circuit voltage times current, what the pack gives up."""
        return self.open_v * self.current_a

    @property
    def reach(self) -> Numbers:
        """The speed reached over the speed asked for, 1 at standstill."""
        asked = self.of.asked_v
        return np.where(asked > 0, self.back_v / np.where(asked > 0, asked, 1.0), 1.0)

    @property
    def friction_w(self) -> Numbers:
        """Bearings, brushes and iron, into the motor's can."""
        return self.back_v * np.minimum(self.of.no_load_a, self.driven_a) if self.strained else self.of.friction_w

    @property
    def shaft_w(self) -> Numbers:
        """To the gears; negative when they drive the motor."""
        return self.back_v * (self.driven_a - self.of.braked_a) - self.friction_w if self.strained else self.of.shaft_w

    @property
    def heat_w(self) -> Numbers:
        """Where what is lost goes, (samples, nodes)."""
        own, squared = self.of, self.current_a**2
        # Volts on each ohm of the motor's circuit, times its current: braking, all that the wheels give goes there.
        through = self.driven_a**2 + self.back_v * own.braked_a / self.through_ohm
        lights = self.end_v * own.limited_a  # what they and their leads take stays under the shell
        heat = np.zeros((self.bus_v.size, NODES))
        heat[:, PACK] = squared * own.pack_ohm + self.slow_v**2 / own.slow_ohm
        heat[:, AIR] = squared * own.lead_ohm + lights
        heat[:, REGULATOR] = np.maximum(self.bus_v * own.linear_a + own.steady_w - lights, 0.0)
        heat[:, CONTROLLER] = through * self.switches_ohm + self.bus_v * self.controller_a
        heat[:, WINDING] = through * self.windings_ohm
        heat[:, CAN] = self.friction_w
        return heat


def switched(vehicle: Vehicle, want: Demand, *, motor_on: Flags, rail_on: Flags, controller_on: Flags) -> Circuit:
    """The circuit of a stretch; the flags, (samples,), say what is on."""
    pack, ctrl, reg, motor = vehicle.pack, vehicle.controller, vehicle.regulator, vehicle.motor
    amps = np.where(motor_on, want.motor_a, 0.0)
    driving = ~want.braking & (amps > 0)
    rail = np.where(rail_on, want.rail_a, 0.0)
    limited = np.minimum(rail, reg.limit_a)
    sagged = np.where(rail > 0, limited / np.maximum(rail, 1e-9), 1.0)  # a limited current: loads take it as resistors
    sagged = np.where(rail_on, sagged, 0.0)
    return Circuit(
        chemistry=pack.chemistry, cells=pack.cells, pack_ohm=pack.resistance_ohm, lead_ohm=pack.lead_ohm,
        slow_ohm=pack.slow_ohm, windings_ohm=motor.ohm * (1 - COPPER * WARM_DEGC), windings_ohm_k=motor.ohm * COPPER,
        switches_ohm=ctrl.on_ohm * (1 - ON_STATE * WARM_DEGC), switches_ohm_k=ctrl.on_ohm * ON_STATE,
        no_load_a=motor.no_load_a, driving=driving,
        driven_a=np.where(driving, amps, 0.0), braked_a=np.where(want.braking, amps, 0.0),
        asked_v=motor.constant_vs * np.where(motor_on, want.omega, 0.0),
        chopped_a=np.where(driving, 0.5 * ctrl.beat * amps, 0.0),  # switching loss, half of V I while edges last
        idle_a=np.where(controller_on, ctrl.idle_a, 0.0), limited_a=limited, sagged=sagged,
        linear_a=np.where(reg.linear, limited, 0.0),
        steady_w=np.where(reg.linear, 0.0, reg.out_v * sagged * limited / reg.efficiency),
        out_v=reg.out_v, least_drop_v=np.where(reg.linear, reg.dropout_v, 0.0), own_drop_v=reg.own_ohm * limited,
        lead_drop_v=reg.rail_ohm * limited,
    )  # fmt: skip


def _upper_root(b: Numbers, c: Numbers) -> Numbers:
    """The upper root of v^2 - b v + c = 0; where there is none (more power than the pack can give), its vertex."""
    return np.asarray((b + np.sqrt(np.maximum(b * b - 4 * c, 0.0))) / 2)
