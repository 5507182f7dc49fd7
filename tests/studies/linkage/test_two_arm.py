"""Kind (b): lengths and pins must hold for any linkage of rigid bodies, whatever solved it."""

import numpy as np
import pytest

from coachwork.geometry.vectors import length
from coachwork.studies.linkage.two_arm import TwoArmCorner

ARM = np.radians(np.linspace(-18, 20, 11))[:, None]
RACK = np.linspace(-6.0, 6.0, 9)[:, None] * np.array([0.0, 1.0, 0.0])


@pytest.fixture
def poses(two_arm):
    return two_arm.poses(arm_angle_rad=ARM, tie_rod_inner=two_arm.tie_rod_inner + RACK)


def test_drawn_pose_is_taken_when_the_links_are_as_drawn(two_arm):
    poses = two_arm.poses(arm_angle_rad=0.0)
    np.testing.assert_allclose(poses.knuckle.rotation, np.eye(3), atol=1e-13)
    np.testing.assert_allclose(poses.knuckle.shift, 0.0, atol=1e-12)


def test_the_knuckle_joins_both_balls_and_the_tie_rod_fits(two_arm, poses):
    """1e-12 mm is a hundred roundings of a coordinate of 60 mm."""
    for name, arm in (("kingpin_lower", poses.arm), ("kingpin_upper", poses.upper_arm)):
        point = getattr(two_arm, name)
        np.testing.assert_allclose(poses.knuckle.at(point) - arm.at(point), 0.0, atol=1e-12)
    for point in (two_arm.upper_pin_front, two_arm.upper_pin_rear):
        np.testing.assert_allclose(poses.upper_arm.at(point) - point, 0.0, atol=1e-12)
    tie_rod = length(poses.knuckle.at(two_arm.tie_rod_outer) - (two_arm.tie_rod_inner + RACK))
    np.testing.assert_allclose(tie_rod - two_arm.tie_rod_length_mm, 0.0, atol=1e-12)


def test_a_longer_tie_rod_behind_the_axle_turns_the_wheel_inward(two_arm_hardpoints, two_arm):
    """The knuckle's ball lies behind the kingpin: pushed outboard, it turns the left wheel's front to the right."""
    longer = TwoArmCorner(**two_arm_hardpoints, tie_rod_length_mm=two_arm.tie_rod_length_mm + 0.5)
    assert longer.poses(arm_angle_rad=0.0).knuckle_angle_rad < 0


def test_arms_pulled_apart_say_by_how_much(two_arm):
    """With the lower arm swung far down, the knuckle is too short to reach the upper arm's circle."""
    poses = two_arm.poses(arm_angle_rad=np.radians(-80.0))
    lower_ball = poses.arm.at(two_arm.kingpin_lower)
    around = np.linspace(0, 2 * np.pi, 100001)[:, None]
    pin = two_arm.upper_pin_front - two_arm.upper_pin_rear
    pin = pin / length(pin)
    offset = two_arm.kingpin_upper - two_arm.upper_pin_rear
    centre = two_arm.upper_pin_rear + offset @ pin * pin
    radial = two_arm.kingpin_upper - centre
    circle = centre + np.cos(around) * radial + np.sin(around) * np.cross(pin, radial)
    short = length(circle - lower_ball).min() - length(two_arm.kingpin_upper - two_arm.kingpin_lower)
    assert short > 1
    np.testing.assert_allclose(poses.upper_link_open_mm, short, atol=1e-6)  # the circle is sampled every 0.002 mm
    assert np.isnan(poses.knuckle.shift).all()
