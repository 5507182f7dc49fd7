"""What every kind of corner answers: where its bodies are, and which loop will not close.

A corner is the left one of an axle, in the chassis frame of its end: x forward from the axle line, y left, z up from
the underside datum plane, mm and rad. The right corner is its mirror image and is computed as a left one, with the
steering's sign changed. "Drawn" is the pose in which the hardpoints were measured.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import Array, frozen


@dataclass(frozen=True, eq=False, kw_only=True)
class CornerPoses:
    """The bodies of one corner in many poses; every array has the batch axes (...) of the poses.

    A motion carries the drawn points of its body to where they are now, NaN where the pose cannot assemble. Axes that a
    body does not depend on may be 1 long: the arm's motion does not know the steering.
    """

    arm: Motion  # the driven one: the lower arm
    upper_arm: Motion | None  # None where there is a camber link instead
    carrier: Motion  # hub carrier; with two arms: the knuckle before it is steered
    knuckle: Motion  # bears the wheel; at an unsteered end with a hub carrier it is that carrier
    arm_angle_rad: Array  # (...), positive lifts the wheel
    upper_angle_rad: Array  # (...), of the carrier about the hub pin, or of the upper arm about its pin
    knuckle_angle_rad: Array  # (...), about the kingpin, positive turns the wheel to the left (ISO 8855)
    upper_room_mm: Array  # (...), by how much the camber link could be shorter or longer; negative: the loop stays open
    tie_rod_room_mm: Array  # (...), same for the tie-rod; inf without one, NaN where the upper loop is open already

    @property
    def upper_link_open_mm(self) -> Array:
        """By how much the loop through camber link or upper arm stays open, 0 where it closes: (...)."""
        return np.asarray(np.maximum(0.0, -self.upper_room_mm))

    @property
    def tie_rod_open_mm(self) -> Array:
        """By how much the tie-rod stays too long or too short, 0 where it fits: (...).

        0 too where the upper loop is open: without a carrier there is nothing for the tie-rod to miss.
        """
        return np.asarray(np.fmax(0.0, -self.tie_rod_room_mm))

    @property
    def assembles(self) -> Array:
        """True where every loop closes: (...), boolean."""
        return np.asarray((self.upper_room_mm >= 0.0) & (self.tie_rod_room_mm >= 0.0))


class Corner(Protocol):
    """A kind of suspension, given by its drawn hardpoints (..., 3) and link lengths; None at an unsteered end."""

    @property
    def kingpin_lower(self) -> Array | None: ...
    @property
    def kingpin_upper(self) -> Array | None: ...
    @property
    def tie_rod_inner(self) -> Array | None: ...
    @property
    def tie_rod_outer(self) -> Array | None: ...

    @property
    def arm_twist(self) -> Twist:
        """The driven arm's velocity per radian of its angle."""

    def poses(self, *, arm_angle_rad: Array, tie_rod_inner: Array | None = None) -> CornerPoses:
        """Poses for angles (...) of the driven arm and positions (..., 3) of the tie-rod's inner ball."""

    def bump_twist(self, poses: CornerPoses, *, tie_rod_inner: Array | None = None) -> Twist:
        """The knuckle's velocity per radian of arm angle, with the tie-rod's inner ball held."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Wheel:
    """A wheel as drawn on its knuckle."""

    centre: Array  # (..., 3)
    spin_axis: Array  # (..., 3), of length one, outboard
    tyre_radius_mm: Array  # (...), rolling radius under load

    def __post_init__(self) -> None:
        """Write-protect the arrays."""
        for name in ("centre", "spin_axis", "tyre_radius_mm"):
            object.__setattr__(self, name, frozen(getattr(self, name)))
