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

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.heat import AIR, CAN, CONTROLLER, NODES, PACK, REGULATOR, WINDING
from coachwork.studies.power.pack import cell_v
from coachwork.studies.power.vehicle import Flags, Vehicle

COPPER = 0.00393  # 1/K from 20 degC, IEC 60028 (annealed copper)
ON_STATE = 0.005  # 1/K: a switch of silicon gains about half from 25 to 125 degC; makers' sheets, from memory
WARM_DEGC = 25.0  # where resistances are stated
GRAVITY = 9.80665  # m/s2, ISO 80000-3


@dataclass(frozen=True, kw_only=True, eq=False)
class Demand:
    """What one stretch of the way asks for, (samples,): it hangs on no voltage and no temperature.

    motor_a : current that gives the torque; braking : whether it slows down with its windings shorted
    omega   : rad/s of the motor at the speed asked for
    rail_a  : current of receiver, servo, lights and sound
    still   : whether it is told to stand
    """

    motor_a: Numbers
    omega: Numbers
    braking: Flags
    rail_a: Numbers
    still: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class Flow:
    """One moment. heat_w (samples, nodes); the others (samples,).

    chemical_w : open-circuit voltage times current, what the pack gives up
    shaft_w    : to the gears; negative when they drive the motor
    reach      : the speed reached over the speed asked for, 1 at standstill
    """

    current_a: Numbers
    bus_v: Numbers
    rail_v: Numbers
    heat_w: Numbers
    chemical_w: Numbers
    shaft_w: Numbers
    motor_a: Numbers
    reach: Numbers


def demand(
    vehicle: Vehicle, *, speed_m_s: float, gain_m_s2: float, gradient: float, rail_a: Numbers
) -> Demand:  # fmt: skip
    """What a stretch at a steady (or, while it gains, mean) speed asks for.

    gradient : rise over the way along the ground's level, a slope of 12 % is 0.12
    """
    run, motor = vehicle.running, vehicle.motor
    slope = np.arctan(gradient)
    moving = speed_m_s > 0 or gain_m_s2 != 0
    resist = run.rolling * np.cos(slope) if moving else 0.0
    newton = run.mass_kg * (GRAVITY * (resist + np.sin(slope)) + gain_m_s2)
    hauls = newton >= 0
    # Driving, the gears' loss comes on top; when the wheels drive the motor, it comes off.
    torque = newton / run.rad_m * np.where(hauls, 1 / run.efficiency, run.efficiency)
    drag = motor.no_load_a if moving else 0.0
    wanted = torque / motor.constant_vs + drag
    return Demand(
        motor_a=np.abs(wanted) if moving else np.zeros_like(wanted),  # at rest brakes or friction hold it
        omega=np.broadcast_to(np.asarray(speed_m_s * run.rad_m), wanted.shape),
        braking=wanted < 0,
        rail_a=np.broadcast_to(rail_a, wanted.shape),
        still=not moving,
    )


def flow(
    vehicle: Vehicle, want: Demand, *, degc: Numbers, slow_v: Numbers, share: Numbers, motor_on: Flags, rail_on: Flags,
    controller_on: Flags,
) -> Flow:  # fmt: skip
    """The moment's currents, voltages and heat. degc : (samples, nodes); everything else (samples,)."""
    pack, ctrl, reg, motor = vehicle.pack, vehicle.controller, vehicle.regulator, vehicle.motor
    windings = motor.ohm * (1 + COPPER * (degc[:, WINDING] - WARM_DEGC))
    switches = ctrl.on_ohm * (1 + ON_STATE * (degc[:, CONTROLLER] - WARM_DEGC))
    through = windings + switches
    amps = np.where(motor_on, want.motor_a, 0.0)
    braking = want.braking & motor_on
    driving = ~want.braking & (amps > 0)
    omega = np.where(motor_on, want.omega, 0.0)
    rail = np.where(rail_on, want.rail_a, 0.0)
    limited = np.minimum(rail, reg.limit_a)
    sagged = np.where(rail > 0, limited / np.maximum(rail, 1e-9), 1.0)  # a limited current: loads take it as resistors

    drawn_a = np.where(reg.linear, limited, 0.0) + np.where(controller_on, ctrl.idle_a, 0.0)
    drawn_w = np.where(reg.linear, 0.0, reg.out_v * sagged * limited / reg.efficiency)
    open_v = pack.cells * cell_v(pack.chemistry, share)
    source, ohm = open_v - slow_v, pack.resistance_ohm + pack.lead_ohm

    needs_v = motor.constant_vs * omega + amps * through
    chopped_a = np.where(driving, 0.5 * ctrl.beat * amps, 0.0)  # switching loss, half of V I while edges last
    volts = _upper_root(source - ohm * (drawn_a + chopped_a), ohm * (drawn_w + np.where(driving, amps * needs_v, 0.0)))
    full = driving & (volts < needs_v)
    if full.any():
        chopped_a = np.where(full, 0.0, chopped_a)
        a = 1 + ohm / through  # held fast: V = I R of the motor, so a V^2 - (U - R i_c) V + R P = 0
        held = _upper_root((source - ohm * drawn_a) / a, ohm * drawn_w / a) / through
        stalled = full & (amps >= held)
        amps = np.where(stalled, held, amps)
        volts_full = _upper_root(source - ohm * (drawn_a + amps), ohm * drawn_w)
        volts = np.where(full, np.where(stalled, held * through, volts_full), volts)
        omega = np.where(full, np.maximum((volts - amps * through) / motor.constant_vs, 0.0), omega)
    back_v = motor.constant_vs * omega
    motor_w = np.where(driving, amps * (back_v + amps * through), 0.0)
    current = drawn_a + chopped_a + np.where(volts > 0.05, (motor_w + drawn_w) / np.maximum(volts, 0.05), 0.0)
    volts = source - ohm * current
    held_v = np.maximum(np.minimum(reg.out_v, volts - np.where(reg.linear, reg.dropout_v, 0.0)), 0.0) * sagged
    end_v = np.maximum(
        held_v - reg.own_ohm * limited, 0.0
    )  # where the regulator's own resistance ends, and leads begin
    rail_v = np.maximum(end_v - reg.rail_ohm * limited, 0.0)

    heat = np.zeros((volts.size, NODES))
    heat[:, PACK] = current**2 * pack.resistance_ohm + slow_v**2 / pack.slow_ohm
    lights = np.where(rail_on, end_v * limited, 0.0)  # what they and their leads take stays under the shell
    heat[:, AIR] = current**2 * pack.lead_ohm + lights
    regulator = np.where(reg.linear, volts * limited, drawn_w) - lights
    heat[:, REGULATOR] = np.maximum(regulator, 0.0)
    slowed = np.where(braking, back_v * amps, 0.0)
    friction = np.where(driving, back_v * np.minimum(motor.no_load_a, amps), 0.0)
    own = np.where(controller_on, ctrl.idle_a, 0.0)
    heat[:, CONTROLLER] = (
        np.where(driving, amps**2 * switches, 0.0) + volts * (chopped_a + own) + slowed * switches / through
    )
    heat[:, WINDING] = np.where(driving, amps**2 * windings, 0.0) + slowed * windings / through
    heat[:, CAN] = friction
    asked = np.where(motor_on, want.omega, 0.0)
    return Flow(
        current_a=current,
        bus_v=volts,
        rail_v=np.where(rail_on, rail_v, 0.0),
        heat_w=heat,
        chemical_w=open_v * current,
        shaft_w=np.where(driving, back_v * amps - friction, -slowed),
        motor_a=amps,
        reach=np.where(asked > 0, omega / np.maximum(asked, 1e-9), 1.0),
    )


def _upper_root(b: Numbers, c: Numbers) -> Numbers:
    """The upper root of v^2 - b v + c = 0; where there is none (more power than the pack can give), its vertex."""
    return np.asarray((b + np.sqrt(np.maximum(b * b - 4 * c, 0.0))) / 2)
