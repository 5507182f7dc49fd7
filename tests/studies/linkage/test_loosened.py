"""Velocities with one link off, against differences of poses; and that putting the link back changes nothing."""

from dataclasses import replace

import numpy as np
import pytest

from coachwork.studies.linkage.loosened import Stand, standing

STEP = 1e-5  # rad; the differences' own error is its square times a curvature of some 50 mm per rad^2


@pytest.fixture(params=["camber link", "tie-rod", "tie-rod of two arms", "camber link, unsteered"])
def loosened(request, front_hardpoints):
    front = request.getfixturevalue("front")
    if request.param == "tie-rod of two arms":
        return request.getfixturevalue("two_arm").without_tie_rod
    if request.param == "camber link, unsteered":
        points = {k: v for k, v in front_hardpoints.items() if not k.startswith(("kingpin", "tie_rod"))}
        return type(front)(**points).without_camber_link
    return front.without_camber_link if request.param == "camber link" else front.without_tie_rod


@pytest.mark.parametrize("of", [0, 1])
def test_velocities_are_those_of_the_poses(loosened, wheel, of):
    arm, joint = np.radians(np.meshgrid([-9.0, 0.0, 8.0], [-4.0, 0.0, 5.0]))
    ahead, behind = (
        loosened(arm + sign * STEP * (of == 0), joint + sign * STEP * (of == 1)).knuckle.at(wheel.centre)
        for sign in (1, -1)
    )
    poses = loosened(arm, joint)
    velocity = (poses.by_arm, poses.by_joint)[of].at(poses.knuckle.at(wheel.centre))
    np.testing.assert_allclose(velocity, (ahead - behind) / (2 * STEP), atol=1e-6)


def test_with_the_link_as_long_as_told_the_corner_is_in_that_pose(front, wheel):
    arm, angle = np.radians([-6.0, 0.0, 7.0]), np.radians([4.0, 1.0, -3.0])
    off = front.without_camber_link(arm, angle)
    on = replace(front, camber_link_length_mm=off.link_mm).poses(arm_angle_rad=arm)
    np.testing.assert_allclose(on.upper_angle_rad, angle, atol=1e-12)
    np.testing.assert_allclose(on.knuckle.at(wheel.centre), off.knuckle.at(wheel.centre), atol=1e-11)
    off = front.without_tie_rod(arm, angle)
    on = replace(front, tie_rod_length_mm=off.link_mm).poses(arm_angle_rad=arm)
    np.testing.assert_allclose(on.knuckle_angle_rad, angle, atol=1e-12)
    np.testing.assert_allclose(on.knuckle.at(wheel.centre), off.knuckle.at(wheel.centre), atol=1e-11)


def test_each_wheel_stands_as_wanted_also_beside_one_that_cannot(front, wheel):
    height, camber = np.array([15.0, 18.0, 300.0, 21.0]), np.radians([2.0, -1.0, 0.0, -6.0])
    stand = Stand.at_camber(wheel, camber, height_mm=height)
    _, poses = standing(front.without_camber_link, stand, arm_rad=np.zeros(4), joint_rad=np.zeros(4))
    stands = np.array([True, True, False, True])
    np.testing.assert_allclose(poses.knuckle.at(wheel.centre)[stands, 2], height[stands], atol=1e-11)
    np.testing.assert_allclose(np.arcsin(-poses.knuckle.turn(wheel.spin_axis)[stands, 2]), camber[stands], atol=1e-12)
    assert not np.any(np.abs(stand.lacks(poses.knuckle))[:, ~stands] < 1e-3)
