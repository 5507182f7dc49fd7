"""The lengths and heights that give a wanted camber, toe and least bump steer; solve forward again to check them.

Left corners, chassis frame, mm and rad. Every answer may have batch axes (...), one problem each.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from coachwork.geometry.vectors import Array, length
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.poses import Corner, Wheel
from coachwork.studies.linkage.travel import TOLERANCE_MM, arm_angle_at_height
from coachwork.studies.linkage.two_arm import TwoArmCorner
from coachwork.studies.linkage.wheel_angles import camber_rad, toe_in_rad

ANGLE_TOLERANCE_RAD = 1e-10
LEFT_RAD = 1e-9  # by a root that gets no nearer
SCANNED_MM = 1e-7  # of a wheel's height, while candidates are only compared; toe changes by a thousandth of it a mm


def camber_link_length_mm(
    corner: CamberLinkCorner, wheel: Wheel, *, camber: Array, height_mm: Array, start_rad: Array | None = None
) -> Array:
    """Length of the camber link that gives the wanted camber with the wheel centre at its ride height: (...).

    camber in rad, height over the datum plane, both (...); start_rad: an arm angle that is near. The steering stays as
    drawn.
    NaN: no length does, or none near the one there is.
    """
    at_height = _AtHeight(wheel, height_mm=height_mm, angle=camber_rad, start_rad=start_rad)

    def missing(candidate: Array) -> Array:
        return at_height(replace(corner, camber_link_length_mm=candidate)) - camber

    return _secant(missing, _given(corner.camber_link_length_mm))


def tie_rod_length_mm(
    corner: CamberLinkCorner | TwoArmCorner, wheel: Wheel, *, toe_in: Array, height_mm: Array,
    start_rad: Array | None = None,
) -> Array:  # fmt: skip
    """Length of the tie-rod (or toe link) that gives the wanted toe with the wheel centre at ride height: (...).

    toe_in in rad, positive if the wheel's front points in; start_rad: an arm angle that is near.
    NaN: no length does, or none near the one there is.
    """
    at_height = _AtHeight(wheel, height_mm=height_mm, angle=toe_in_rad, start_rad=start_rad)

    def missing(candidate: Array) -> Array:
        return at_height(replace(corner, tie_rod_length_mm=candidate)) - toe_in

    return _secant(missing, _given(corner.tie_rod_length_mm))


class _AtHeight:
    """An angle of the wheel at given heights, of one corner after another, each search begun where the last one ended:
    neighbours differ by little. NaN where a height is not reached.
    """

    def __init__(
        self, wheel: Wheel, *, height_mm: Array, angle: Callable[..., Array], start_rad: Array | None = None,
        within_mm: float = TOLERANCE_MM,
    ) -> None:  # fmt: skip
        self._wheel, self._height_mm, self._angle, self._within_mm = wheel, height_mm, angle, within_mm
        self.arm_rad = start_rad  # where the last search ended

    def __call__(self, corner: Corner) -> Array:
        found = arm_angle_at_height(
            corner, wheel_centre=self._wheel.centre, height_mm=self._height_mm, start_rad=self.arm_rad,
            within_mm=self._within_mm,
        )  # fmt: skip
        self.arm_rad = found.angle_rad
        poses = corner.poses(arm_angle_rad=np.where(found.reached, found.angle_rad, np.nan))
        return self._angle(poses.knuckle, self._wheel)


def _given(value: Array | None) -> Array:
    if value is None:
        raise ValueError("this corner has no such link")
    return value


def _secant(missing: Callable[[Array], Array], start: Array) -> Array:
    """Root of `missing` near `start`, each element on its own: (...); NaN where 40 steps do not find one."""
    before, now = np.broadcast_arrays(start, start + 0.01)
    error_before, error = np.broadcast_arrays(missing(before), missing(now))
    before, now = np.broadcast_to(before, error.shape), np.broadcast_to(now, error.shape)
    smallest, idle = np.abs(error), 0
    for _ in range(40):
        wanted = ~(np.abs(error) <= ANGLE_TOLERANCE_RAD)
        nearer = np.abs(error) < 0.9 * smallest
        smallest, idle = np.fmin(smallest, np.abs(error)), 0 if np.any(nearer & wanted) else idle + 1
        if not wanted.any() or idle > 8:
            break
        with np.errstate(divide="ignore", invalid="ignore"):
            step = -error * (now - before) / (error - error_before)
        # 2 mm: farther than a turnbuckle goes in one go, and short enough not to leap out of the mechanism's range.
        ahead = np.where(wanted, now + np.clip(np.nan_to_num(step), -2.0, 2.0), now)
        error_ahead = missing(ahead)
        # A length that cannot be assembled: back halfway towards the one that could.
        lost = wanted & np.isnan(error_ahead)
        ahead = np.where(lost, 0.5 * (now + ahead), ahead)
        error_ahead = missing(ahead) if lost.any() else error_ahead
        before, error_before = np.where(wanted, now, before), np.where(wanted, error, error_before)
        now, error = ahead, error_ahead
    return np.where(np.abs(error) <= LEFT_RAD, now, np.nan)


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
    search_mm: float = 10.0,
) -> BumpSteerCure:
    """The raise of the inner ball within +-search that makes the largest toe change over `heights_mm` (n,) least.

    Candidates go through as one batch axis: 21 over the range, then three times 21 between the neighbours of the best
    (the last 0.001 mm apart, finer than any washer). The corner itself must be one, without batch axes. Candidates
    that do not reach all heights do not count; NaN if none does.
    """
    if corner.tie_rod_inner is None or corner.tie_rod_outer is None:
        raise ValueError("this corner has no tie-rod")
    ride = arm_angle_at_height(corner, wheel_centre=wheel.centre, height_mm=np.asarray(ride_height_mm))
    knuckle = corner.poses(arm_angle_rad=ride.angle_rad).knuckle
    outer, toe = knuckle.at(corner.tie_rod_outer), toe_in_rad(knuckle, wheel)
    at_height = _AtHeight(wheel, height_mm=heights_mm, angle=toe_in_rad, within_mm=SCANNED_MM)

    def raised(by: Array) -> tuple[Array, Array]:
        """Tie-rod lengths that leave the knuckle alone at ride height, and toe changes, for raises (n,)."""
        inner = corner.tie_rod_inner + by[:, None, None] * np.array([0.0, 0.0, 1.0])
        lengths = length(outer - inner)
        at = at_height(replace(corner, tie_rod_inner=inner, tie_rod_length_mm=lengths))
        return lengths[:, 0], np.max(np.abs(at - toe), axis=-1)

    before = raised(np.zeros(1))[1][0]
    middle, half = 0.0, search_mm
    for _ in range(4):
        raises = middle + np.linspace(-half, half, 21)
        lengths, changes = raised(raises)
        best = int(np.argmin(np.nan_to_num(changes, nan=np.inf)))
        assert at_height.arm_rad is not None
        at_height.arm_rad = at_height.arm_rad[best]
        middle, half = float(np.clip(raises[best], -search_mm, search_mm)), half / 10.0
    return BumpSteerCure(
        raise_inner_mm=raises[best],
        tie_rod_length_mm=lengths[best],
        toe_change_rad=changes[best],
        toe_change_before_rad=before,
    )
