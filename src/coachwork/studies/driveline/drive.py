"""Motor, gears and tyres together: pull at any speed, top speed, the run up to a speed.

At full throttle the pull at the tyres falls in a straight line, A - B v, from standstill to nothing; a controller's
limit and the tyres' grip cut its beginning off.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TypeVar

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.gears import Gears, rollout_mm
from coachwork.studies.driveline.motor import Motor, WorkingPoint, at_voltage, stall_a, working_point
from coachwork.studies.driveline.road import N_PER_G_MM_S2, WHEELS_SHARE, Vehicle
from coachwork.studies.result import Result

STEPS = 400  # of the run; against the closed form the time is right to 1 in 10 000
NEAR_TOP = 0.95  # of the top speed, which itself is never reached

R = TypeVar("R", bound=Result)


@dataclass(frozen=True, kw_only=True, eq=False)
class Supply(Result):
    """What stands before the motor, (samples,): a voltage behind a resistance, and the current a controller allows."""

    voltage_v: Numbers
    resistance_ohm: Numbers
    limit_a: Numbers

    def drawn_a(self, power_w: Numbers) -> Numbers:
        """Current that gives a power behind the resistance, P = (V - R i) i; of more than there is, the most."""
        root = np.sqrt(np.maximum(self.voltage_v**2 - 4 * self.resistance_ohm * power_w, 0.0))
        return np.minimum((self.voltage_v - root) / (2 * self.resistance_ohm), self.limit_a)


@dataclass(frozen=True, kw_only=True, eq=False)
class Drive(Result):
    """All that a drive is computed from. efficiency : of gears and joints, motor's shaft to tyre."""

    motor: Motor
    supply: Supply
    gears: Gears
    vehicle: Vehicle
    efficiency: Numbers

    @property
    def rad_per_mm(self) -> Numbers:
        """Turn of the motor for each millimetre of way."""
        return self.gears.ratio / self.vehicle.radius_mm

    @property
    def rollout_mm(self) -> Numbers:
        """Way for one turn of the motor."""
        return rollout_mm(radius_mm=self.vehicle.radius_mm, ratio=self.gears.ratio)

    @property
    def n_per_nmm(self) -> Numbers:
        """Pull at the tyres for each N mm at the motor."""
        return self.rad_per_mm * self.efficiency

    @property
    def rotor_mass_g(self) -> Numbers:
        """What the rotor's turning adds to the mass that has to be brought up to speed."""
        return self.motor.rotor_g_mm2 * self.rad_per_mm * self.n_per_nmm

    def full_throttle(self, speed_mm_s: Numbers) -> WorkingPoint:
        """The motor's working point at a speed, fully switched on, within the controller's limit."""
        supply = self.supply
        return at_voltage(
            self.motor, speed_rad_s=speed_mm_s * self.rad_per_mm, voltage_v=supply.voltage_v,
            source_ohm=supply.resistance_ohm, limit_a=supply.limit_a,
        )  # fmt: skip

    def steady(self, speed_mm_s: Numbers, *, force_n: Numbers) -> WorkingPoint:
        """The motor's working point that holds a speed against a force."""
        return working_point(self.motor, speed_rad_s=speed_mm_s * self.rad_per_mm, torque_nmm=force_n / self.n_per_nmm)

    def motor_pull_n(self, speed_mm_s: Numbers) -> Numbers:
        """At the tyres at full throttle, whether or not they grip; 0 where the motor would brake."""
        return np.maximum(self.full_throttle(speed_mm_s).torque_nmm * self.n_per_nmm, 0.0)

    def pull_n(self, speed_mm_s: Numbers) -> Numbers:
        """What reaches the ground at full throttle."""
        return np.minimum(self.motor_pull_n(speed_mm_s), self.vehicle.grip_n)

    def top_speed_mm_s(self, gradient: Numbers | float = 0.0) -> Numbers:
        """Where full throttle and resistance meet, 0 where it does not move.

        A - B v = F + c v^2 has one positive root, written so that c may be zero.
        """
        motor, supply = self.motor, self.supply
        loop = motor.resistance_ohm + supply.resistance_ohm
        standing = motor.torque_constant_nmm_per_a * (supply.voltage_v / loop - motor.no_load_a) * self.n_per_nmm
        falls = motor.torque_constant_nmm_per_a * motor.constant_v_s / loop * self.rad_per_mm * self.n_per_nmm
        ground = self.vehicle.resistance_n(speed_mm_s=np.zeros(1), gradient=gradient)
        room = np.maximum(standing - ground, 0.0)
        air = self.vehicle.air_n_s2_per_mm2
        speed = 2 * room / (falls + np.sqrt(falls**2 + 4 * air * room))
        # Below the speed at which the controller lets go, the pull is what it allows.
        allowed = motor.torque_constant_nmm_per_a * (supply.limit_a - motor.no_load_a) * self.n_per_nmm
        held = np.minimum(allowed, self.vehicle.grip_n / np.hypot(1.0, gradient)) - ground
        return np.where(held > 0, np.minimum(speed, np.sqrt(np.maximum(held, 0.0) / np.maximum(air, 1e-12))), 0.0)

    def standing_a(self) -> Numbers:
        """The motor's current, wheels held: as much as the controller allows or the winding takes."""
        stalled = stall_a(self.motor, voltage_v=self.supply.voltage_v, source_ohm=self.supply.resistance_ohm)
        return np.minimum(stalled, self.supply.limit_a)

    def away_a(self) -> Numbers:
        """The most that pulling away with the trigger pulled draws: until the winding takes no more or the tyres slip.

        The label of the controller is left out: this is what it is held against.
        """
        stalled = stall_a(self.motor, voltage_v=self.supply.voltage_v, source_ohm=self.supply.resistance_ohm)
        slips = self.vehicle.grip_n / self.n_per_nmm / self.motor.torque_constant_nmm_per_a + self.motor.no_load_a
        return np.minimum(stalled, slips)

    def standing_pull_n(self) -> Numbers:
        """The motor's pull at the tyres, wheels held."""
        torque = self.motor.torque_constant_nmm_per_a * (self.standing_a() - self.motor.no_load_a)
        return np.maximum(torque * self.n_per_nmm, 0.0)


@dataclass(frozen=True, kw_only=True, eq=False)
class Run(Result):
    """From standstill at full throttle, (samples, speeds): time, way and what went where by each speed.

    Energies in J: electrical at the motor's terminals, heat in the motor, lost in gears, spent on rolling and air;
    what is left moves the vehicle.
    """

    speed_mm_s: Numbers
    time_s: Numbers
    way_mm: Numbers
    current_a: Numbers
    electrical_j: Numbers
    heat_j: Numbers
    gears_j: Numbers
    resistance_j: Numbers
    moving_mass_g: Numbers  # (samples,), with what turns

    @property
    def kinetic_j(self) -> Numbers:
        """Of the vehicle, its wheels and the rotor."""
        return 0.5e-9 * self.moving_mass_g[..., None] * self.speed_mm_s**2


def run_up(drive: Drive, *, to_mm_s: Numbers) -> Run:
    """The run to a speed, or to 95 % of the top speed where that is less.

    The pull depends on nothing but the speed, so time is the integral of m dv / F and way of m v dv / F (trapezoids).
    While the tyres would slip, the throttle is taken to be held at the edge of grip.
    NaN : samples that do not move at all
    """
    end = np.minimum(to_mm_s, NEAR_TOP * drive.top_speed_mm_s())
    end = np.where(end > 0, end, np.nan)
    speed = end[..., None] * np.linspace(0.0, 1.0, STEPS + 1)
    wide = widened(drive)
    resistance = wide.vehicle.resistance_n(speed_mm_s=speed)
    mass = wide.vehicle.mass_g * (1 + WHEELS_SHARE)
    full = wide.full_throttle(speed).torque_nmm * wide.n_per_nmm
    by_motor = (full - resistance) / ((mass + wide.rotor_mass_g) * N_PER_G_MM_S2)
    by_grip = (wide.vehicle.grip_n - resistance) / (mass * N_PER_G_MM_S2)
    gain = np.maximum(np.minimum(by_motor, by_grip), 1e-6)  # mm/s2
    at_tyres = resistance + mass * gain * N_PER_G_MM_S2
    rotor_nmm = wide.motor.rotor_g_mm2 * gain * wide.rad_per_mm * N_PER_G_MM_S2
    point = working_point(
        wide.motor, speed_rad_s=speed * wide.rad_per_mm, torque_nmm=at_tyres / wide.n_per_nmm + rotor_nmm
    )
    gears_w = at_tyres * speed / 1000 * (1 / wide.efficiency - 1)
    return Run(
        speed_mm_s=speed,
        time_s=_integral(1 / gain, speed),
        way_mm=_integral(speed / gain, speed),
        current_a=point.current_a,
        electrical_j=_integral(point.electrical_w / gain, speed),
        heat_j=_integral(point.heat_w / gain, speed),
        gears_j=_integral(gears_w / gain, speed),
        resistance_j=_integral(resistance * speed / 1000 / gain, speed),
        moving_mass_g=np.asarray(mass + wide.motor.rotor_g_mm2 * wide.rad_per_mm**2)[..., 0],
    )


def _integral(y: Numbers, x: Numbers) -> Numbers:
    """Running integral along the last axis, by trapezoids."""
    pieces = (y[..., 1:] + y[..., :-1]) / 2 * np.diff(x, axis=-1)
    return np.concatenate([np.zeros((*pieces.shape[:-1], 1)), np.cumsum(pieces, axis=-1)], axis=-1)


def widened(part: R) -> R:
    """The same with one more axis behind the samples, for a table or a curve of several values each."""
    new = {}
    for field in fields(part):
        value = getattr(part, field.name)
        new[field.name] = widened(value) if isinstance(value, Result) else np.asarray(value)[..., None]
    return type(part)(**new)
