"""What one stretch of the way asks of motor and supply, before any voltage or temperature is known."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.vehicle import Flags, Vehicle

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
