"""The direct-current machine: torque, current, speed and heat at any working point.

    V = I R + k w        T = k (I - I0)        k in V s/rad, the same number in N m/A

A brushless motor with its controller is taken as the direct-current machine of the same speed for each volt and the
resistance between two of its wires. The no-load current I0 stands for friction and iron losses together and is taken as
constant, so they are a braking torque k I0 and cost k w I0.

Source : any textbook of electrical machines (permanent-magnet d.c. machine, steady state); docs/theory/driveline.md
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.result import Result

COPPER_PER_K = 0.00393  # from 20 degC, IEC 60028: annealed copper (from memory)
RAD_S_PER_RPM = 2 * math.pi / 60
INSULATION_DEGC = 155.0  # of enamelled wire, class F of IEC 60085 (from memory); small motors' makers seldom say theirs
RUNAWAY_DEGC = 999.0  # in place of a temperature without bound: copper's resistance grows faster than heat leaves


@dataclass(frozen=True, kw_only=True, eq=False)
class Motor(Result):
    """A motor, all arrays (samples,).

    constant_v_s        : back-EMF for each rad/s, V s/rad; the torque constant in N m/A is the same number
    resistance_ohm      : terminal to terminal at 20 degC
    no_load_a           : running free
    rotor_g_mm2         : moment of inertia of what turns with the shaft
    winding_to_case_k_per_w, case_to_air_k_per_w, winding_j_per_k, case_j_per_k : the two lumps that heat is stored in
    hottest_degc        : of the case
    surroundings_degc   : air round it
    """

    constant_v_s: Numbers
    resistance_ohm: Numbers
    no_load_a: Numbers
    rotor_g_mm2: Numbers
    winding_to_case_k_per_w: Numbers
    case_to_air_k_per_w: Numbers
    winding_j_per_k: Numbers
    case_j_per_k: Numbers
    hottest_degc: Numbers
    surroundings_degc: Numbers

    @property
    def torque_constant_nmm_per_a(self) -> Numbers:
        """Torque for each ampere above the no-load current, N mm/A."""
        return 1000 * self.constant_v_s


@dataclass(frozen=True, kw_only=True, eq=False)
class WorkingPoint:
    """One state of a motor; arrays of one shape.

    voltage_v   : at its terminals; behind a chopping controller, the mean of what it switches
    copper_w    : heat of the winding, I^2 R
    friction_w  : heat of bearings, brushes and iron, k w I0
    """

    speed_rad_s: Numbers
    torque_nmm: Numbers
    current_a: Numbers
    voltage_v: Numbers
    copper_w: Numbers
    friction_w: Numbers

    @property
    def mechanical_w(self) -> Numbers:
        """At the shaft."""
        return self.torque_nmm * self.speed_rad_s / 1000

    @property
    def electrical_w(self) -> Numbers:
        """At the terminals."""
        return self.voltage_v * self.current_a

    @property
    def heat_w(self) -> Numbers:
        """What stays in the motor."""
        return self.copper_w + self.friction_w

    @property
    def efficiency(self) -> Numbers:
        """Shaft power over electrical power; 0 where nothing comes out or nothing goes in."""
        mechanical, electrical = np.broadcast_arrays(self.mechanical_w, self.electrical_w)
        useful = (mechanical > 0) & (electrical > 0)
        return np.where(useful, mechanical / np.where(useful, electrical, 1.0), 0.0)


def working_point(
    motor: Motor, *, speed_rad_s: Numbers, torque_nmm: Numbers, winding_degc: Numbers | float = 20.0
) -> WorkingPoint:
    """The point at which the shaft turns at a speed and gives a torque, whatever voltage that takes.

    speed_rad_s, torque_nmm : shapes that broadcast with (samples,); standing still there is no friction loss
    """
    amps = torque_nmm / motor.torque_constant_nmm_per_a + motor.no_load_a
    return _at(motor, speed_rad_s, torque_nmm, amps, winding_degc)


def at_voltage(
    motor: Motor, *, speed_rad_s: Numbers, voltage_v: Numbers, source_ohm: Numbers | float = 0.0,
    limit_a: Numbers | float = np.inf, winding_degc: Numbers | float = 20.0,
) -> WorkingPoint:  # fmt: skip
    """The point at which the shaft turns at a speed while a source of a resistance is fully switched on to it.

    limit_a : where a controller holds the current; the voltage at the terminals then follows
    """
    loop = warm_ohm(motor, winding_degc) + source_ohm
    amps = np.minimum((voltage_v - motor.constant_v_s * speed_rad_s) / loop, limit_a)
    torque = motor.torque_constant_nmm_per_a * (amps - motor.no_load_a)
    return _at(motor, speed_rad_s, torque, amps, winding_degc)


def _at(motor: Motor, speed: Numbers, torque: Numbers, amps: Numbers, winding_degc: Numbers | float) -> WorkingPoint:
    ohm, back_v = warm_ohm(motor, winding_degc), motor.constant_v_s * speed
    return WorkingPoint(
        speed_rad_s=speed, torque_nmm=torque, current_a=amps, voltage_v=back_v + amps * ohm,
        copper_w=amps**2 * ohm, friction_w=back_v * motor.no_load_a,
    )  # fmt: skip


def warm_ohm(motor: Motor, winding_degc: Numbers | float) -> Numbers:
    """Resistance at a winding's temperature."""
    return motor.resistance_ohm * (1 + COPPER_PER_K * (winding_degc - 20.0))


def no_load_rad_s(motor: Motor, *, voltage_v: Numbers) -> Numbers:
    """Speed at which only the no-load current flows."""
    return np.asarray((voltage_v - motor.no_load_a * motor.resistance_ohm) / motor.constant_v_s)


def stall_a(motor: Motor, *, voltage_v: Numbers, source_ohm: Numbers | float = 0.0) -> Numbers:
    """Current with the shaft held."""
    return np.asarray(voltage_v / (motor.resistance_ohm + source_ohm))


@dataclass(frozen=True, kw_only=True, eq=False)
class Warmth:
    """Temperatures a motor settles at, degC; `RUNAWAY_DEGC` at most."""

    case_degc: Numbers
    winding_degc: Numbers


def settled(motor: Motor, *, mean_square_a2: Numbers, friction_w: Numbers) -> Warmth:
    """Where the temperatures settle when a round of driving is repeated that is short against the motor's minutes.

    mean_square_a2 : mean of the current's square over the round
    friction_w     : mean of the friction and iron losses

    The winding's heat grows with its own temperature, copper = I^2 R (1 + a (winding - 20)), which is linear, so the
    fixed point has a closed form; none exists where heat grows faster than it leaves.
    """
    cold_w = mean_square_a2 * motor.resistance_ohm
    path = motor.winding_to_case_k_per_w + motor.case_to_air_k_per_w
    before = (
        motor.surroundings_degc + motor.case_to_air_k_per_w * friction_w
    )  # the winding's, were there no copper heat
    left = 1 - COPPER_PER_K * cold_w * path
    copper_w = cold_w * (1 + COPPER_PER_K * (before - 20.0)) / np.maximum(left, 1e-6)
    case = before + motor.case_to_air_k_per_w * copper_w
    return Warmth(
        case_degc=np.minimum(case, RUNAWAY_DEGC),
        winding_degc=np.minimum(case + motor.winding_to_case_k_per_w * copper_w, RUNAWAY_DEGC),
    )


def seconds_to_burn(motor: Motor, *, current_a: Numbers) -> Numbers:
    """How long a held motor takes a current until its winding, warm from driving, is as hot as its insulation bears.

    No heat leaves in so short a time, so C dT = I^2 R (1 + a (T - 20)) dt, whose integral is a logarithm. The winding
    begins at the hottest its can may be.
    """
    begin, end = (1 + COPPER_PER_K * (degc - 20.0) for degc in (motor.hottest_degc, INSULATION_DEGC))
    cold_w = np.maximum(current_a**2 * motor.resistance_ohm, 1e-6)
    return np.asarray(motor.winding_j_per_k / (cold_w * COPPER_PER_K) * np.log(np.maximum(end / begin, 1.0)))
