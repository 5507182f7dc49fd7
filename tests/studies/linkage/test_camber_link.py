"""Kind (a): what must hold for any linkage of rigid bodies, whatever solved it."""

import numpy as np
import pytest

from coachwork.geometry.vectors import length
from coachwork.studies.linkage.camber_link import CamberLinkCorner

ARM = np.radians(np.linspace(-18, 20, 11))[:, None]
RACK = np.linspace(-6.0, 6.0, 9)[:, None] * np.array([0.0, 1.0, 0.0])


@pytest.fixture
def poses(front):
    return front.poses(arm_angle_rad=ARM, tie_rod_inner=front.tie_rod_inner + RACK)


def test_drawn_pose_is_taken_when_the_links_are_as_drawn(front):
    poses = front.poses(arm_angle_rad=0.0)
    np.testing.assert_allclose(poses.knuckle.rotation, np.eye(3), atol=1e-13)
    np.testing.assert_allclose(poses.knuckle.shift, 0.0, atol=1e-12)


def test_links_keep_their_lengths(front, poses):
    """1e-12 mm is a hundred roundings of a coordinate of 60 mm."""
    camber_link = length(poses.carrier.at(front.camber_link_outer) - front.camber_link_inner)
    tie_rod = length(poses.knuckle.at(front.tie_rod_outer) - (front.tie_rod_inner + RACK))
    np.testing.assert_allclose(camber_link - front.camber_link_length_mm, 0.0, atol=1e-12)
    np.testing.assert_allclose(tie_rod - front.tie_rod_length_mm, 0.0, atol=1e-12)


def test_bodies_stay_on_their_pins(front, poses):
    for point in (front.arm_pin_front, front.arm_pin_rear):
        np.testing.assert_allclose(poses.arm.at(point) - point, 0.0, atol=1e-12)
    for point in (front.hub_pin_front, front.hub_pin_rear):
        np.testing.assert_allclose(poses.carrier.at(point) - poses.arm.at(point), 0.0, atol=1e-12)
    for point in (front.kingpin_lower, front.kingpin_upper):
        np.testing.assert_allclose(poses.knuckle.at(point) - poses.carrier.at(point), 0.0, atol=1e-12)


def test_positive_arm_angle_lifts_the_wheel_and_angles_pass_through_zero(front, wheel):
    height = front.poses(arm_angle_rad=ARM[:, 0]).knuckle.at(wheel.centre)[:, 2]
    assert np.all(np.diff(height) > 0)


def test_links_longer_than_drawn_lean_the_wheel_out(front_hardpoints, wheel):
    """A longer camber link pushes the top of the carrier outboard: the spin axis's outer end goes down."""
    longer = CamberLinkCorner(**front_hardpoints, camber_link_length_mm=length(np.array([1.0, 29.0, 2.5])) + 1.0)
    axis = longer.poses(arm_angle_rad=0.0).knuckle.turn(wheel.spin_axis)
    assert axis[2] < wheel.spin_axis[2]


def test_a_rear_end_has_no_knuckle(front_hardpoints):
    rear = CamberLinkCorner(**{k: v for k, v in front_hardpoints.items() if not k.startswith(("kingpin", "tie_rod"))})
    poses = rear.poses(arm_angle_rad=ARM)
    assert poses.knuckle is poses.carrier
    assert np.all(poses.assembles)


def test_half_a_steering_is_refused(front_hardpoints):
    del front_hardpoints["tie_rod_outer"]
    with pytest.raises(ValueError, match="both kingpin points and both tie-rod balls"):
        CamberLinkCorner(**front_hardpoints)


def test_a_link_too_short_says_by_how_much(front_hardpoints):
    """The room is the distance to a link that just reaches: with the link longer by it, the loop closes."""
    short = CamberLinkCorner(**front_hardpoints, camber_link_length_mm=5.0)
    poses = short.poses(arm_angle_rad=0.0)
    assert poses.upper_link_open_mm > 0
    assert not poses.assembles
    assert np.isnan(poses.knuckle.shift).all()
    assert poses.tie_rod_open_mm == 0
    just = CamberLinkCorner(**front_hardpoints, camber_link_length_mm=5.0 + poses.upper_link_open_mm + 1e-9)
    assert just.poses(arm_angle_rad=0.0).upper_link_open_mm == 0
    assert np.isfinite(just.poses(arm_angle_rad=0.0).carrier.shift).all()


def test_samples_travel_and_steer_broadcast(front, front_hardpoints):
    """A leading axis of samples gives what each sample gives alone."""
    shifts = np.random.default_rng(1).normal(0, 0.2, (4, 1, 1, 3))
    many = CamberLinkCorner(**{name: point + shifts for name, point in front_hardpoints.items()})
    poses = many.poses(arm_angle_rad=ARM, tie_rod_inner=many.tie_rod_inner + RACK)
    assert poses.knuckle.shift.shape == (4, 11, 9, 3)
    one = CamberLinkCorner(**{name: point + shifts[2, 0, 0] for name, point in front_hardpoints.items()})
    alone = one.poses(arm_angle_rad=ARM, tie_rod_inner=one.tie_rod_inner + RACK)
    np.testing.assert_allclose(poses.knuckle.shift[2], alone.knuckle.shift, atol=1e-12)
