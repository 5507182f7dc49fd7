"""Where the tyre meets the ground, and what follows: kingpin offsets, contact path, roll centre, swing arm."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from coachwork.build import Length
from coachwork.build.sections.changes import ChangedEnd
from coachwork.build.sections.corner import End
from coachwork.build.sections.wheels import Wheel as WheelEntries
from coachwork.geometry.vectors import Array
from coachwork.studies.linkage.hardpoints import over_poses
from coachwork.studies.linkage.instant_centre import InstantCentre, instant_centre
from coachwork.studies.linkage.poses import CornerPoses, Wheel
from coachwork.studies.linkage.sweep import CornerSweep
from coachwork.studies.linkage.wheel_angles import KingpinPoses, contact_point, kingpin_poses, tyre_sweep_mm
from coachwork.studies.result import Result


@dataclass(frozen=True, eq=False, kw_only=True)
class Ground(Result):
    """One corner's tyre on the ground; arrays (samples, travel, steer) unless noted."""

    contact_mm: Array  # (samples, travel, steer, 3), in the frame of the end
    kingpin: KingpinPoses | None  # None at an unsteered end
    sweep_mm: Array  # how far steering moves the wheel centre forward of its place straight ahead
    centre: InstantCentre  # (samples, travel), straight ahead
    tyre_width: Length = field(metadata={"json": False})  # as entered, for the parts that need it
    wheel: Wheel

    def half_track_change_mm(self, ride: int, straight: int) -> Array:
        """How far the contact point has moved out from ride height, straight ahead: (samples, travel)."""
        across = self.contact_mm[:, :, straight, 1]
        return across - across[:, ride, None]


def wheel_height_mm(end: End, change: ChangedEnd, wheel: WheelEntries) -> Array | None:
    """Height of the wheel centre over the datum plane at ride height, (samples): loaded radius less ride height.

    None where it is not told: the hardpoints were taken at ride height. Raises NotMeasured for a wanted ride height
    without a tyre to stand on.
    """
    ride = change.ride_height if change.ride_height.given else end.ride_height
    if change.ride_height.given or (ride.given and wheel.tyre_diameter.given):
        return np.asarray(wheel.loaded_radius_mm() - ride.mm)
    return None


def ground(swept: CornerSweep, wheel: WheelEntries, *, spacer: Length) -> Ground:
    """The wheel set on the hub's face, `spacer` between them where there is one. Raises NotMeasured."""
    drawn = swept.drawn
    outward = -over_poses(wheel.inset_mm()) + (over_poses(spacer.mm) if spacer.given else 0.0)
    centre = drawn.hub_face + outward[..., None] * drawn.spin_axis
    on_road = swept.wheel(centre, over_poses(wheel.loaded_radius_mm()))
    knuckle, corner = swept.poses.knuckle, drawn.corner
    contact = contact_point(knuckle, on_road)
    shape = swept.assembles.shape
    contact = np.broadcast_to(contact, (*shape, 3))
    kingpin = None
    if corner.kingpin_lower is not None and corner.kingpin_upper is not None:
        kingpin = kingpin_poses(
            knuckle, on_road, kingpin_lower=corner.kingpin_lower, kingpin_upper=corner.kingpin_upper
        )
    at_straight = straight_ahead(swept)
    forward = tyre_sweep_mm(knuckle, on_road, straight=at_straight.poses.knuckle)
    twist = corner.bump_twist(at_straight.poses, tie_rod_inner=at_straight.tie_rod_inner)
    middle = instant_centre(twist, contact=contact_point(at_straight.poses.knuckle, on_road))
    flat = {name: np.broadcast_to(value, (*shape[:2], 1))[:, :, 0] for name, value in vars(middle).items()}
    return Ground(
        contact_mm=contact,
        kingpin=kingpin,
        sweep_mm=np.broadcast_to(forward, shape),
        centre=InstantCentre(**flat),
        tyre_width=wheel.tyre_width,
        wheel=on_road,
    )


@dataclass(frozen=True, eq=False, kw_only=True)
class Straight:
    """The poses straight ahead: one long on the steer axis."""

    poses: CornerPoses
    tie_rod_inner: Array | None


def straight_ahead(swept: CornerSweep) -> Straight:
    """The corner's poses over travel with the steering straight."""
    inner = None if swept.tie_rod_inner is None else swept.tie_rod_inner[:, :, swept.straight, None, :]
    poses = swept.drawn.corner.poses(arm_angle_rad=swept.poses.arm_angle_rad, tie_rod_inner=inner)
    return Straight(poses=poses, tie_rod_inner=inner)
