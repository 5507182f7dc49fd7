"""How hard it can be turned, braked and pulled before a wheel lifts, and how far it leans. Arrays (samples,).

Rigid tyres; roll-over and pitch are taken as quasi-static. g is standard gravity, accelerations are shares of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.corner import EndName
from coachwork.studies.balance.footing import ENDS, Footing
from coachwork.studies.balance.weight import GRAVITY_MM_S2, Weight
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class Stand(Result):
    """The centre of gravity over the wheels' contact points; mm and shares of the weight."""

    weight: Weight
    on: Footing
    height_mm: Numbers  # of the centre of gravity over the ground
    behind_front_mm: Numbers  # along the ground
    aside_mm: Numbers  # to the left positive
    half_track_mm: Numbers  # where the line from front to rear contact passes the centre of gravity

    @property
    def front_share(self) -> Numbers:
        """Of the weight, on the front axle."""
        return np.asarray(1 - self.behind_front_mm / self.on.wheelbase_mm)

    @property
    def left_share(self) -> Numbers:
        """Of the weight, on the left wheels."""
        return np.asarray(0.5 + self.aside_mm / (2 * self.half_track_mm))

    @property
    def static_stability_factor(self) -> Numbers:
        """Half the track over the height, on the heavier side; NHTSA's T/2H where both weigh the same."""
        return np.asarray((self.half_track_mm - np.abs(self.aside_mm)) / self.height_mm)

    @property
    def pitch_factor(self) -> Numbers:
        """The braking or pulling, in g, at which one axle's wheels leave the ground."""
        ahead = self.on.wheelbase_mm - self.behind_front_mm
        return np.asarray(np.minimum(self.behind_front_mm, ahead) / self.height_mm)


def stand(weight: Weight, on: Footing, *, sunk_mm: Mapping[EndName, Numbers] | None = None) -> Stand:
    """Set the weight on its wheels; `sunk_mm` by how much each end stands lower than its ride height.

    The chassis is pitched by the difference of its ride heights; a centre of gravity h over the ground moves forward by
    h times that angle when the tail is up.
    """
    sunk = sunk_mm or dict.fromkeys(ENDS, np.zeros(1))
    x, y, z = (weight.cg_mm[..., axis] for axis in range(3))
    front, rear = (on.ride_height_mm[end] - sunk[end] for end in ENDS)
    height = z + front + (rear - front) * (-x / on.wheelbase_mm)
    nose_down = np.arctan2(rear - front, on.wheelbase_mm)
    return Stand(
        weight=weight,
        on=on,
        height_mm=height,
        behind_front_mm=-x - height * np.tan(nose_down),
        aside_mm=y,
        half_track_mm=on.between("half_track_mm", x),
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class Lean(Result):
    """How the sprung mass leans over its wheels in a turn."""

    arm_mm: Numbers  # of the sprung centre of gravity over the roll axis
    sprung_n: Numbers
    roll_rate_n_mm: Numbers  # of both axles' springs, a rad

    @property
    def rad_per_g(self) -> Numbers:
        """Lean for each g of turning: W h / (K - W h). Infinite where the springs cannot hold it upright at all."""
        left = self.roll_rate_n_mm - self.sprung_n * self.arm_mm
        with np.errstate(divide="ignore"):
            return np.asarray(np.where(left > 0, self.sprung_n * self.arm_mm / left, np.inf))


def tips_at_g(stood: Stand, lean: Lean | None) -> Numbers:
    """Turning, in g, at which the inner wheels lift; the lean carries the centre of gravity out to the wheels.

    Moments about the outer contact line: a h = half track - (sprung share) arm lean(a), lean proportional to a.
    """
    half = stood.half_track_mm - np.abs(stood.aside_mm)
    if lean is None:
        return stood.static_stability_factor
    outward = lean.sprung_n / stood.weight.newton * lean.arm_mm * lean.rad_per_g
    return np.asarray(half / (stood.height_mm + outward))


def speed_mm_s(*, g: Numbers, radius_mm: Numbers) -> Numbers:
    """Speed round a circle at which it turns with so many g."""
    return np.asarray(np.sqrt(g * GRAVITY_MM_S2 * radius_mm))
