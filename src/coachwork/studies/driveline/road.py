"""What the ground and the air ask of the tyres, and what the tyres can pass on.

    force = m g (sin s + c cos s) + air + m a        grip: mu times the load on the driven axles

Source : longitudinal road loads as any textbook of vehicle dynamics has them (Gillespie; Mitschke), from memory
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.result import Result

GRAVITY_MM_S2 = 9806.65  # ISO 80000-3
AIR_G_MM3 = 1.2e-6  # 1.2 kg/m3: 20 degC at sea level
N_PER_G_MM_S2 = 1e-6
STEEPEST_RAD = math.atan(3.0)  # where a pull counts as enough for anything
WHEELS_SHARE = 0.05  # of the mass, for the wheels' own turning: four wheels are about a tenth of it, most in the tread


@dataclass(frozen=True, kw_only=True, eq=False)
class Vehicle(Result):
    """The vehicle on its tyres, (samples,).

    driven_share : of the weight, on the driven axles, standing level
    drag_mm2     : drag coefficient times frontal area
    radius_mm    : rolling radius of the driven tyres
    """

    mass_g: Numbers
    rolling: Numbers
    grip: Numbers
    driven_share: Numbers
    drag_mm2: Numbers
    radius_mm: Numbers

    @property
    def weight_n(self) -> Numbers:
        """Weight."""
        return self.mass_g * GRAVITY_MM_S2 * N_PER_G_MM_S2

    @property
    def grip_n(self) -> Numbers:
        """The most the driven tyres pass on, on the level."""
        return self.grip * self.driven_share * self.weight_n

    @property
    def rolling_n(self) -> Numbers:
        """Rolling resistance on the level."""
        return self.rolling * self.weight_n

    @property
    def air_n_s2_per_mm2(self) -> Numbers:
        """Air drag for each (mm/s)^2."""
        return np.asarray(0.5 * AIR_G_MM3 * N_PER_G_MM_S2 * self.drag_mm2)

    def resistance_n(self, *, speed_mm_s: Numbers, gradient: Numbers | float = 0.0) -> Numbers:
        """At a steady speed. gradient : height over length along the ground's level, a tangent."""
        slope = np.arctan(gradient)
        ground = self.weight_n * (np.sin(slope) + self.rolling * np.cos(slope))
        return np.asarray(ground + self.air_n_s2_per_mm2 * speed_mm_s**2)


def rolling_radius_mm(*, diameter_mm: Numbers, squash_mm: Numbers) -> Numbers:
    """Way for a turn, over 2 pi: a tyre pressed flat by d rolls like a wheel smaller by about d / 3, not by d.

    Source : common rule for a tyre with a soft tread on a stiff rim (Genta, Motor Vehicle Dynamics, from memory)
    """
    return np.asarray(diameter_mm / 2 - squash_mm / 3)


def gradient_for(vehicle: Vehicle, *, force_n: Numbers) -> Numbers:
    """The steepest ramp that a force at the tyres climbs at a crawl, as a tangent; 0 where it cannot even roll.

    sin s + c cos s = f, f the force over the weight, so s = arcsin(f / sqrt(1 + c^2)) - arctan c.
    """
    share = np.clip(force_n / vehicle.weight_n / np.hypot(1.0, vehicle.rolling), 0.0, 1.0)
    return np.asarray(np.tan(np.clip(np.arcsin(share) - np.arctan(vehicle.rolling), 0.0, 1.4)))


def gradient_of_grip(vehicle: Vehicle) -> Numbers:
    """The steepest ramp on which the driven tyres do not slip, as a tangent.

    The load is taken as it stands on the level, so for rear-wheel drive, which a ramp loads, it is on the safe side.
    """
    return np.asarray(np.maximum(vehicle.grip * vehicle.driven_share - vehicle.rolling, 0.0))
