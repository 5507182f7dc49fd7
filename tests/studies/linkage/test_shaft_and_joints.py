"""Shafts, ball joints and dampers, on triangles that can be checked by hand, and on a derivative."""

import numpy as np

from coachwork.geometry.rigid import Motion
from coachwork.studies.linkage.joints import ball_joint_angle_rad, damper_poses
from coachwork.studies.linkage.shaft import shaft_length, shaft_poses

X, Y, Z = np.eye(3)


def test_a_shaft_lifted_by_its_own_run_bends_both_joints_alike():
    """40 out and lifted by 30: 50 long; a wheel that only rises bends either joint by atan(30 / 40)."""
    found = shaft_poses(
        Motion.by(30.0 * Z), inner_centre=np.zeros(3), outer_centre=40.0 * Y, inner_axis=Y, outer_axis=Y
    )
    np.testing.assert_allclose(found.distance_mm, 50.0)
    np.testing.assert_allclose([found.inner_angle_rad, found.outer_angle_rad], np.arctan2(30, 40))


def test_steering_about_the_joint_bends_only_the_outer_one():
    knuckle = Motion.about(40.0 * Y, Z, np.radians([0.0, 30.0]))
    found = shaft_poses(knuckle, inner_centre=np.zeros(3), outer_centre=40.0 * Y, inner_axis=Y, outer_axis=Y)
    np.testing.assert_allclose(found.distance_mm, 40.0)
    np.testing.assert_allclose(np.degrees(found.inner_angle_rad), 0.0, atol=1e-12)
    np.testing.assert_allclose(np.degrees(found.outer_angle_rad), [0.0, 30.0])


def test_the_shaft_length_leaves_equal_room_at_both_ends():
    distance = np.array([41.0, 43.0, 42.0])
    fit = shaft_length(distance, plunge_mm=3.0)
    assert distance.min() - fit.length_mm == fit.margin_mm
    assert fit.length_mm + 3.0 - distance.max() == fit.margin_mm
    assert fit.margin_mm == 0.5
    assert shaft_length(distance, plunge_mm=1.5).margin_mm < 0


def test_a_link_square_to_its_stud_is_at_zero_and_turns_freely_about_it():
    around = np.radians(np.arange(0, 360, 30))[:, None]
    ends = 20.0 * (np.cos(around) * Y + np.sin(around) * Z)
    np.testing.assert_allclose(ball_joint_angle_rad(stud=X, ball=np.zeros(3), other_end=ends), 0.0, atol=1e-15)
    lifted = ball_joint_angle_rad(stud=X, ball=np.zeros(3), other_end=ends + 20.0 * X)
    np.testing.assert_allclose(np.degrees(lifted), 45.0)


def test_motion_ratio_is_the_damper_curves_slope(front, wheel):
    """Central difference of step 1e-5 rad: error and rounding under 1e-8."""
    eyes = {"upper_eye": np.array([-2.0, 27.0, 62.0]), "lower_eye": np.array([3.0, 46.0, 12.0])}
    arm = np.radians(np.linspace(-18, 20, 9))

    def damper(angles):
        poses = front.poses(arm_angle_rad=angles)
        centre = poses.knuckle.at(wheel.centre)
        twists = {"carrying_twist": front.arm_twist, "wheel_twist": front.bump_twist(poses)}
        return damper_poses(poses.arm, **eyes, **twists, wheel_centre=centre), centre[:, 2]

    (ahead, high), (behind, low) = damper(arm + 1e-5), damper(arm - 1e-5)
    slope = (behind.length_mm - ahead.length_mm) / (high - low)
    np.testing.assert_allclose(damper(arm)[0].motion_ratio, slope, atol=1e-8)
    assert np.all((slope > 0.2) & (slope < 1.0))
