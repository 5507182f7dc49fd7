"""The heat of a round of driving: starts from standstill, steady runs between them, and the ramp.

A round is short against the minutes a motor takes to warm, so its mean heat decides where the temperature settles. The
power study drives the round moment by moment; this is what gearing alone can be chosen by.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.drive import NEAR_TOP, Drive
from coachwork.studies.driveline.motor import Warmth, settled
from coachwork.studies.driveline.road import N_PER_G_MM_S2, WHEELS_SHARE
from coachwork.studies.result import Result

RAMP_SPEED_SHARE = 0.5  # of the wanted top speed, going up the ramp; common practice, no source


@dataclass(frozen=True, kw_only=True, eq=False)
class Aims(Result):
    """What is wanted of the drive, (samples,); shares and gradients as ratios."""

    top_speed_mm_s: Numbers
    gradient: Numbers
    ramp_share: Numbers
    start_time_s: Numbers
    stop_every_s: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Stretch(Result):
    """One part of the round, (samples,): the motor's current and how it is loaded.

    square_a2_s : current squared times time; friction_j : heat of friction and iron; drawn_as : charge out of the pack
    """

    time_s: Numbers
    current_a: Numbers
    drawn_as: Numbers
    square_a2_s: Numbers
    friction_j: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Round(Result):
    """The round and where the motor's temperature settles on it. drawn_a : out of the pack, on the mean"""

    start: Stretch
    cruise: Stretch
    brake: Stretch
    ramp: Stretch
    mean_square_a2: Numbers
    friction_w: Numbers
    case_degc: Numbers
    winding_degc: Numbers
    drawn_a: Numbers


def round_of(drive: Drive, aims: Aims) -> Round:
    """The mean heat of the round and the temperatures it leads to."""
    speed = np.minimum(aims.top_speed_mm_s, NEAR_TOP * drive.top_speed_mm_s())
    start = _start(drive, aims, speed)
    cruise = _held(
        drive, speed, drive.vehicle.resistance_n(speed_mm_s=speed), np.maximum(aims.stop_every_s - start.time_s, 0.0)
    )
    brake = _brake(drive, speed)
    cycle_s = start.time_s + cruise.time_s
    ramp = _ramp(drive, aims)
    square = (1 - aims.ramp_share) * (start.square_a2_s + cruise.square_a2_s + brake.square_a2_s) / cycle_s
    friction = (1 - aims.ramp_share) * (start.friction_j + cruise.friction_j) / cycle_s
    square = square + aims.ramp_share * ramp.square_a2_s
    friction = friction + aims.ramp_share * ramp.friction_j
    warmth: Warmth = settled(drive.motor, mean_square_a2=square, friction_w=friction)
    return Round(
        start=start, cruise=cruise, brake=brake, ramp=ramp, mean_square_a2=square, friction_w=friction,
        case_degc=warmth.case_degc, winding_degc=warmth.winding_degc,
        drawn_a=(1 - aims.ramp_share) * (start.drawn_as + cruise.drawn_as) / cycle_s + aims.ramp_share * ramp.drawn_as,
    )  # fmt: skip


def _start(drive: Drive, aims: Aims, speed: Numbers) -> Stretch:
    """An even gain of speed in the time the driver takes, or as fast as pull and grip let it."""
    vehicle = drive.vehicle
    mass = vehicle.mass_g * (1 + WHEELS_SHARE)
    resists = vehicle.resistance_n(speed_mm_s=speed / 2)
    most = np.minimum(
        (drive.standing_pull_n() - resists) / ((mass + drive.rotor_mass_g) * N_PER_G_MM_S2),
        (vehicle.grip_n - resists) / (mass * N_PER_G_MM_S2),
    )
    gain = np.clip(speed / aims.start_time_s, 1.0, np.maximum(most, 1.0))
    time = np.maximum(speed / gain, 1e-3)
    pull = resists + (mass + drive.rotor_mass_g) * gain * N_PER_G_MM_S2
    return _held(drive, speed / 2, pull, time)


def _held(drive: Drive, speed: Numbers, force_n: Numbers, time_s: Numbers) -> Stretch:
    """A speed held against a force for a time; no more current than the controller allows."""
    point = drive.steady(speed, force_n=force_n)
    amps = np.minimum(point.current_a, drive.supply.limit_a)
    return Stretch(
        time_s=time_s, current_a=amps, square_a2_s=amps**2 * time_s, friction_j=point.friction_w * time_s,
        drawn_as=drive.supply.drawn_a(np.maximum(point.electrical_w, 0.0)) * time_s,
    )  # fmt: skip


def _brake(drive: Drive, speed: Numbers) -> Stretch:
    """Slowing down with the winding shorted: the vehicle's energy, less what the gears take, becomes copper heat."""
    moving = drive.vehicle.mass_g * (1 + WHEELS_SHARE)
    joule = 0.5e-9 * moving * speed**2 * drive.efficiency
    zero = np.zeros_like(joule)
    return Stretch(
        time_s=zero, current_a=zero, drawn_as=zero, square_a2_s=joule / drive.motor.resistance_ohm, friction_j=zero
    )


def _ramp(drive: Drive, aims: Aims) -> Stretch:
    """One second on the ramp at half the wanted speed, or as fast as it gets up there."""
    speed = np.minimum(RAMP_SPEED_SHARE * aims.top_speed_mm_s, drive.top_speed_mm_s(aims.gradient))
    force = drive.vehicle.resistance_n(speed_mm_s=speed, gradient=aims.gradient)
    return _held(drive, speed, force, np.ones_like(speed))
