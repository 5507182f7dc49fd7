"""Both kinds with every pin along x are planar four-bars, on which textbooks have the last word."""

import numpy as np
import pytest

from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.instant_centre import instant_centre
from coachwork.studies.linkage.poses import Wheel
from coachwork.studies.linkage.two_arm import TwoArmCorner
from coachwork.studies.linkage.wheel_angles import camber_rad, contact_point

ARM = np.radians(np.linspace(-18, 20, 15))
# y, z in mm: inner and outer end of the lower and the upper link of the four-bar.
LOWER = np.array([[20.0, 11.0], [58.0, 9.0]])
UPPER = np.array([[25.0, 30.0], [56.0, 33.0]])


def at(x, yz):
    return np.array([x, *yz])


def planar(kind):
    if kind == "two arms":
        return TwoArmCorner(
            lower_pin_front=at(10, LOWER[0]), lower_pin_rear=at(-10, LOWER[0]),
            upper_pin_front=at(8, UPPER[0]), upper_pin_rear=at(-8, UPPER[0]),
            kingpin_lower=at(0, LOWER[1]), kingpin_upper=at(0, UPPER[1]),
            tie_rod_inner=at(-12, LOWER[0]), tie_rod_outer=at(-12, LOWER[1]),
        )  # fmt: skip
    return CamberLinkCorner(
        arm_pin_front=at(10, LOWER[0]), arm_pin_rear=at(-10, LOWER[0]),
        hub_pin_front=at(6, LOWER[1]), hub_pin_rear=at(-6, LOWER[1]),
        camber_link_inner=at(-7, UPPER[0]), camber_link_outer=at(-7, UPPER[1]),
    )  # fmt: skip


@pytest.fixture(params=["two arms", "camber link"])
def corner(request):
    return planar(request.param)


def upper_ends(corner, poses):
    """The upper link's two ends now, y and z."""
    if isinstance(corner, TwoArmCorner):
        return UPPER[0], poses.knuckle.at(corner.kingpin_upper)[..., 1:]
    return UPPER[0], poses.carrier.at(corner.camber_link_outer)[..., 1:]


def test_freudensteins_equation(corner):
    """K1 cos(out) - K2 cos(in) + K3 = cos(in - out), Freudenstein 1955 (from memory), angles from the fixed link.

    Lengths in ratio to each other give numbers near 1, so 1e-12 is a few thousand roundings.
    """
    poses = corner.poses(arm_angle_rad=ARM)
    fixed = UPPER[0] - LOWER[0]
    inner_end, outer_end = upper_ends(corner, poses)
    lower_end = poses.arm.at(at(0, LOWER[1]))[..., 1:]

    def angle(vector):
        return np.arctan2(vector[..., 1], vector[..., 0]) - np.arctan2(fixed[1], fixed[0])

    def size(vector):
        return np.hypot(vector[..., 0], vector[..., 1])

    a, b, c, d = size(LOWER[1] - LOWER[0]), size(UPPER[1] - LOWER[1]), size(UPPER[1] - UPPER[0]), size(fixed)
    theta_in, theta_out = angle(lower_end - LOWER[0]), angle(outer_end - inner_end)
    k1, k2, k3 = d / a, d / c, (a**2 - b**2 + c**2 + d**2) / (2 * a * c)
    left = k1 * np.cos(theta_out) - k2 * np.cos(theta_in) + k3
    np.testing.assert_allclose(left, np.cos(theta_in - theta_out), atol=1e-12)


def test_the_instant_centre_lies_where_the_arms_lines_meet(corner):
    """Kennedy's theorem; the roll centre is where the line from the contact point through it cuts the centreline."""
    wheel = Wheel(centre=at(0, (75.0, 18.0)), spin_axis=np.array([0.0, 1.0, 0.0]), tyre_radius_mm=33.0)
    poses = corner.poses(arm_angle_rad=ARM)
    contact = contact_point(poses.knuckle, wheel)
    found = instant_centre(corner.bump_twist(poses), contact=contact)

    inner_end, outer_end = upper_ends(corner, poses)
    lower_end = poses.arm.at(at(0, LOWER[1]))[..., 1:]
    along_lower, along_upper = lower_end - LOWER[0], outer_end - inner_end
    for i in range(len(ARM)):
        s, _ = np.linalg.solve(np.stack([along_lower[i], -along_upper[i]], axis=1), inner_end - LOWER[0])
        centre = LOWER[0] + s * along_lower[i]
        np.testing.assert_allclose(found.swing_arm_length_mm[i], contact[i, 1] - centre[0], rtol=1e-10)
        slope = (contact[i, 2] - centre[1]) / (contact[i, 1] - centre[0])
        np.testing.assert_allclose(found.roll_centre_height_mm[i], -contact[i, 1] * slope, atol=1e-9)


def test_the_swing_arm_is_the_camber_curves_slope(corner):
    """Camber per rise is -1 / swing arm; central difference of step 1e-5 rad, error and rounding under 1e-9 rad/mm."""
    wheel = Wheel(centre=at(0, (75.0, 18.0)), spin_axis=np.array([0.0, 1.0, 0.0]), tyre_radius_mm=33.0)
    poses = corner.poses(arm_angle_rad=ARM)
    contact = contact_point(poses.knuckle, wheel)
    found = instant_centre(corner.bump_twist(poses), contact=contact)
    ahead, behind = (corner.poses(arm_angle_rad=ARM + step) for step in (1e-5, -1e-5))
    rise = ahead.knuckle.at(poses.knuckle.back(contact)) - behind.knuckle.at(poses.knuckle.back(contact))
    slope = (camber_rad(ahead.knuckle, wheel) - camber_rad(behind.knuckle, wheel)) / rise[..., 2]
    np.testing.assert_allclose(found.lean_in_rad_per_mm, -slope, atol=1e-8)
    assert np.all(found.lean_in_rad_per_mm > 0)  # the upper link is shorter and slopes in: leans in with bump


def test_equal_parallel_arms_keep_the_camber():
    """A parallelogram: swing arm infinite, and the roll centre lies on the ground when the arms are level."""
    points = {
        "lower_pin_front": at(10, (20, 10)), "lower_pin_rear": at(-10, (20, 10)),
        "upper_pin_front": at(10, (20, 30)), "upper_pin_rear": at(-10, (20, 30)),
        "kingpin_lower": at(0, (58, 10)), "kingpin_upper": at(0, (58, 30)),
        "tie_rod_inner": at(-12, (20, 20)), "tie_rod_outer": at(-12, (58, 20)),
    }  # fmt: skip
    wheel = Wheel(centre=at(0, (75.0, 18.0)), spin_axis=np.array([0.0, 1.0, 0.0]), tyre_radius_mm=33.0)
    corner = TwoArmCorner(**points)
    poses = corner.poses(arm_angle_rad=ARM)
    np.testing.assert_allclose(camber_rad(poses.knuckle, wheel), 0.0, atol=1e-12)
    level = corner.poses(arm_angle_rad=0.0)
    found = instant_centre(corner.bump_twist(level), contact=contact_point(level.knuckle, wheel))
    assert abs(found.lean_in_rad_per_mm) < 1e-15
    np.testing.assert_allclose(found.roll_centre_height_mm, 0.0, atol=1e-12)
