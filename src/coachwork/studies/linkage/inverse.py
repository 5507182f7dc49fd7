"""The lengths and heights that give a wanted camber, toe and least bump steer; solve forward again to check them.

Left corners, chassis frame, mm and rad. Lengths may have batch axes (...), one problem each.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coachwork.geometry.vectors import Array, length
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.loosened import Stand, standing
from coachwork.studies.linkage.poses import Wheel
from coachwork.studies.linkage.travel import arm_angle_at_height
from coachwork.studies.linkage.two_arm import TwoArmCorner
from coachwork.studies.linkage.wheel_angles import toe_in_rad

LEFT = 1e-9  # of what a stand lacks, where the corner with the length found has it all the same
SCANNED_MM = 1e-7  # of a wheel's height, while candidates are only compared; toe changes by a thousandth of it a mm


def camber_link_length_mm(
    corner: CamberLinkCorner, wheel: Wheel, *, camber: Array, height_mm: Array, start_rad: Array | None = None
) -> Array:
    """Length of the camber link that gives the wanted camber with the wheel centre at its ride height: (...).

    camber in rad, height over the datum plane, both (...); start_rad: an arm angle that is near. The steering stays as
    drawn.
    NaN: no length does, or none near the one there is.
    """
    stand = Stand.at_camber(wheel, camber, height_mm=height_mm)
    near = np.zeros(()) if start_rad is None else start_rad
    joint = np.nan_to_num(corner.poses(arm_angle_rad=near).upper_angle_rad)
    arm, poses = standing(corner.without_camber_link, stand, arm_rad=near, joint_rad=joint)
    return _where_it_stands(replace(corner, camber_link_length_mm=poses.link_mm), stand, arm, poses.link_mm)


def tie_rod_length_mm(
    corner: CamberLinkCorner | TwoArmCorner, wheel: Wheel, *, toe_in: Array, height_mm: Array,
    start_rad: Array | None = None,
) -> Array:  # fmt: skip
    """Length of the tie-rod (or toe link) that gives the wanted toe with the wheel centre at ride height: (...).

    toe_in in rad, positive if the wheel's front points in; start_rad: an arm angle that is near.
    NaN: no length does, or none near the one there is.
    """
    stand = Stand.at_toe_in(wheel, toe_in, height_mm=height_mm)
    near = np.zeros(()) if start_rad is None else start_rad
    # Not from where the present rod holds the knuckle: one much too long may hold it far from any toe wanted.
    arm, poses = standing(corner.without_tie_rod, stand, arm_rad=near, joint_rad=np.zeros(()))
    return _where_it_stands(replace(corner, tie_rod_length_mm=poses.link_mm), stand, arm, poses.link_mm)


def _where_it_stands(corner: CamberLinkCorner | TwoArmCorner, stand: Stand, arm_rad: Array, length_mm: Array) -> Array:
    """A link's length where the corner that has it does stand so; NaN where it would only on the link's other side."""
    lacks = np.abs(stand.lacks(corner.poses(arm_angle_rad=arm_rad).knuckle)).max(axis=0)
    return np.where(lacks <= LEFT, length_mm, np.nan)


@dataclass(frozen=True, eq=False, kw_only=True)
class BumpSteerCure:
    """How far to raise the tie-rod's inner ball for the least toe change over travel."""

    raise_inner_mm: float
    tie_rod_length_mm: float  # that keeps the toe at ride height as it was
    toe_change_rad: float  # largest over the travel, from ride height, that remains
    toe_change_before_rad: float  # the same with the ball where it is


def least_bump_steer(
    corner: CamberLinkCorner | TwoArmCorner,
    wheel: Wheel,
    *,
    heights_mm: Array,
    ride_height_mm: float,
    start_rad: Array | None = None,
    search_mm: float = 10.0,
) -> BumpSteerCure:
    """The raise of the inner ball within +-search that makes the largest toe change over `heights_mm` (n,) least.

    Candidates go through as one batch axis: 21 over the range, then three times 21 between the neighbours of the best
    (the last 0.001 mm apart, finer than any washer). The corner itself must be one, without batch axes. Candidates
    that do not reach all heights do not count; NaN if none does.
    start_rad : (n,), arm angles that are near those heights
    """
    if corner.tie_rod_inner is None or corner.tie_rod_outer is None:
        raise ValueError("this corner has no tie-rod")
    start = np.zeros(heights_mm.size) if start_rad is None else start_rad
    at_ride = start[np.argmin(np.abs(heights_mm - ride_height_mm))]
    ride = arm_angle_at_height(
        corner, wheel_centre=wheel.centre, height_mm=np.asarray(ride_height_mm), start_rad=at_ride
    )
    outer, toe = ride.knuckle.at(corner.tie_rod_outer), toe_in_rad(ride.knuckle, wheel)

    def raised(by: Array, start_rad: Array) -> tuple[Array, Array, Array]:
        """Tie-rod lengths that leave the knuckle alone at ride height, arm angles, and toe changes, for raises (m,)."""
        inner = corner.tie_rod_inner + by[:, None, None] * np.array([0.0, 0.0, 1.0])
        lengths = length(outer - inner)
        found = arm_angle_at_height(
            replace(corner, tie_rod_inner=inner, tie_rod_length_mm=lengths), wheel_centre=wheel.centre,
            height_mm=heights_mm, start_rad=start_rad, within_mm=SCANNED_MM,
        )  # fmt: skip
        turned = np.where(found.reached, np.abs(toe_in_rad(found.knuckle, wheel) - toe), np.nan)
        return lengths[:, 0], found.angle_rad, np.max(turned, axis=-1)

    raises = np.linspace(-search_mm, search_mm, 21)
    lengths, arm, changes = raised(raises, start)
    before, half = changes[10], search_mm  # the middle one is raised by nothing
    for _ in range(3):
        best, half = _least(changes), half / 10.0
        closer = np.clip(raises[best], -search_mm, search_mm) + np.linspace(-half, half, 21)
        lengths, arm, changes = raised(closer, _parabola(raises, arm, best, closer))
        raises = closer
    best = _least(changes)
    return BumpSteerCure(
        raise_inner_mm=raises[best],
        tie_rod_length_mm=lengths[best],
        toe_change_rad=changes[best],
        toe_change_before_rad=before,
    )


def _least(changes: Array) -> int:
    """Which candidate's is; one that does not reach all heights does not count."""
    return int(np.argmin(np.nan_to_num(changes, nan=np.inf)))


def _parabola(at: Array, values: Array, middle: int, wanted: Array) -> Array:
    """Values (m, n), known at evenly spaced places, at other places (k,), by the parabola through the three nearest to
    one of them: (k, n).
    """
    middle = min(max(middle, 1), len(at) - 2)
    before, now, after = values[middle - 1 : middle + 2]
    share = ((wanted - at[middle]) / (at[1] - at[0]))[:, None]
    return np.asarray(now + share * (0.5 * (after - before) + share * (0.5 * (after + before) - now)))
