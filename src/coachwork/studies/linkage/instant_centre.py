"""What the wheel turns about in the front view at this instant: swing arm, roll centre, rates over travel.

All from the velocity of the knuckle as a rigid body, per radian of arm angle and with the steering held, so it holds
for any mechanism, askew or not. For planar arms it is Kennedy's theorem: the centre lies where the arms' lines meet.

       o--------o                         z |        contact point P moves at (vy, vz) and the body turns at wx, so in
                 \\                          |        the transverse plane through P the point at rest is
     IC x- - - - - P                        +-- y        IC = P + (-vz, vy) / wx
                                                     and the line from P to IC cuts the centreline at the roll centre.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.rigid import Twist
from coachwork.geometry.vectors import Array


@dataclass(frozen=True, eq=False, kw_only=True)
class InstantCentre:
    """The left wheel's motion in the transverse plane through its contact point; every array (...)."""

    lean_in_rad_per_mm: Array  # how fast the wheel's top leans in as it rises: the inverse of the swing arm's length
    roll_centre_height_mm: Array  # over the ground, on the centreline
    half_track_rate: Array  # mm outboard at the contact point per mm of wheel rise

    @property
    def swing_arm_length_mm(self) -> Array:
        """Sideways distance from the contact point to the centre, (...), positive inboard; inf for parallel motion."""
        with np.errstate(divide="ignore"):
            return 1.0 / self.lean_in_rad_per_mm


def instant_centre(twist: Twist, *, contact: Array) -> InstantCentre:
    """From the knuckle's velocity and the contact point (..., 3) as a point of the knuckle.

    Rates are per mm of rise of the contact point as such a point; NaN where the wheel does not rise at all.
    Both sides taken as mirror images in the same pose, which puts the roll centre on the centreline (SAE J670).
    """
    velocity = twist.at(contact)
    with np.errstate(divide="ignore", invalid="ignore"):
        outward = velocity[..., 1] / velocity[..., 2]
        return InstantCentre(
            lean_in_rad_per_mm=twist.angular[..., 0] / velocity[..., 2],
            roll_centre_height_mm=contact[..., 1] * outward,
            half_track_rate=outward,
        )
