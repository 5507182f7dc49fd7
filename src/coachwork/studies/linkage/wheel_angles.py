"""Camber, toe, steer, caster, kingpin and contact patch of one left corner, from where its knuckle is.

Signs and terms by ISO 8855:2011 (from memory), for the left wheel; the right one is its mirror image. The ground is
the plane through the tyre's lowest point, parallel to the chassis's datum plane: body roll and pitch are not in it.

    from behind, left wheel       camber > 0: top leans out (to the left)
        \\|                        steer  > 0: turned to the left; toe-in is the steer angle's opposite on the left
         |                        caster > 0: kingpin's top leans back; inclination > 0: its top leans in
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, dot, unit
from coachwork.studies.linkage.poses import Wheel

UP = np.array([0.0, 0.0, 1.0])


def camber_rad(knuckle: Motion, wheel: Wheel) -> Array:
    """Lean of the wheel plane out of the vertical, positive if its top leans out: (...)."""
    return np.asarray(np.arcsin(-knuckle.turn(wheel.spin_axis)[..., 2]))


def steer_rad(knuckle: Motion, wheel: Wheel) -> Array:
    """Angle from straight ahead to the wheel plane's trace on the ground, positive to the left: (...)."""
    axis = knuckle.turn(wheel.spin_axis)
    return np.asarray(np.arctan2(-axis[..., 0], axis[..., 1]))


def toe_in_rad(knuckle: Motion, wheel: Wheel) -> Array:
    """The left wheel's toe angle, positive if its front points to the vehicle's centreline: (...)."""
    return -steer_rad(knuckle, wheel)


def contact_point(knuckle: Motion, wheel: Wheel) -> Array:
    """Lowest point of the disc of the tyre's radius in the wheel's centre plane: (..., 3).

    The tyre is a thin disc here: its width and how it flattens move the true centre of pressure a little to the side
    the wheel leans to, by about half its width times the camber.
    """
    axis = knuckle.turn(wheel.spin_axis)
    down = unit(axis[..., 2:] * axis - UP)
    return knuckle.at(wheel.centre) + wheel.tyre_radius_mm[..., None] * down


@dataclass(frozen=True, eq=False, kw_only=True)
class KingpinPoses:
    """The kingpin axis and what follows from where it meets the ground; every array (...)."""

    caster_rad: Array
    inclination_rad: Array
    scrub_radius_mm: Array  # ISO 8855's kingpin offset at ground; positive: the axis meets the ground inboard
    trail_mm: Array  # ISO 8855's caster offset at ground, mechanical trail; positive: ahead of the contact point
    offset_at_wheel_centre_mm: Array  # the same as scrub at the height of the wheel centre


def kingpin_poses(knuckle: Motion, wheel: Wheel, *, kingpin_lower: Array, kingpin_upper: Array) -> KingpinPoses:
    """Kingpin angles in the chassis frame; offsets along and across the wheel's own heading. Drawn points (..., 3).

    Offsets go with the wheel, so that they stay what the tyre feels when steered.
    """
    base = knuckle.at(kingpin_lower)
    axis = knuckle.turn(kingpin_upper - kingpin_lower)
    spin = knuckle.turn(wheel.spin_axis)
    contact, centre = contact_point(knuckle, wheel), knuckle.at(wheel.centre)
    outboard = unit(spin * np.array([1.0, 1.0, 0.0]))
    forward = np.stack([outboard[..., 1], -outboard[..., 0], np.zeros(outboard.shape[:-1])], axis=-1)

    def at_height(z: Array) -> Array:
        return base + ((z - base[..., 2]) / axis[..., 2])[..., None] * axis

    from_contact = at_height(contact[..., 2]) - contact
    from_centre = at_height(centre[..., 2]) - centre
    return KingpinPoses(
        caster_rad=np.arctan2(-axis[..., 0], axis[..., 2]),
        inclination_rad=np.arctan2(-axis[..., 1], axis[..., 2]),
        scrub_radius_mm=-dot(from_contact, outboard),
        trail_mm=dot(from_contact, forward),
        offset_at_wheel_centre_mm=-dot(from_centre, outboard),
    )


def tyre_sweep_mm(knuckle: Motion, wheel: Wheel, *, straight: Motion) -> Array:
    """How far the wheel centre has moved forward by steering, from its place straight ahead: (...).

    The further the kingpin lies inboard of the wheel, the further the tyre sweeps fore and aft.
    """
    return np.asarray((knuckle.at(wheel.centre) - straight.at(wheel.centre))[..., 0])
