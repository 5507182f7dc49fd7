"""Knuckles on a live axle: rods keep their lengths, and bump steer appears only with a drag link from the chassis."""

import numpy as np
import pytest

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import length
from coachwork.studies.linkage.axle_steering import AxleSteering

INNER = np.array([-10.0, -25.0, 24.0])


@pytest.fixture
def steering():
    return AxleSteering(
        left_kingpin_lower=np.array([1.0, 57.0, 9.0]),
        left_kingpin_upper=np.array([-1.0, 55.0, 27.0]),
        right_kingpin_lower=np.array([1.0, -57.0, 9.0]),
        right_kingpin_upper=np.array([-1.0, -55.0, 27.0]),
        drag_link_inner=INNER,
        drag_link_outer=np.array([-11.0, 52.0, 26.0]),
        track_rod_left=np.array([-13.0, 50.0, 14.0]),
        track_rod_right=np.array([-13.0, -50.0, 14.0]),
    )


def test_rods_keep_their_lengths_and_kingpins_their_places(steering):
    axle = Motion.about(np.zeros(3), np.array([1.0, 0.2, 0.1]), np.array(0.1)) @ Motion.by(np.array([1.0, 2.0, 6.0]))
    ball = INNER + np.array([[0.0, shift, 0.0] for shift in (-4.0, 0.0, 4.0)])
    found = steering.knuckles(axle, drag_link_inner=ball)
    assert np.all(found.drag_link_room_mm > 0)
    drag = length(found.left.at(steering.drag_link_outer) - ball)
    np.testing.assert_allclose(drag, np.full(3, steering.drag_link_length_mm), atol=1e-12)
    track = length(found.left.at(steering.track_rod_left) - found.right.at(steering.track_rod_right))
    np.testing.assert_allclose(track, np.full(3, steering.track_rod_length_mm), atol=1e-12)
    for side in ("left", "right"):
        for end in ("lower", "upper"):
            point = getattr(steering, f"{side}_kingpin_{end}")
            np.testing.assert_allclose(getattr(found, side).at(point) - axle.at(point), 0.0, atol=1e-12)


def test_a_servo_on_the_axle_knows_no_bump_steer(steering):
    axle = Motion.by(np.array([[0.0, 0.0, heave] for heave in (-8.0, 0.0, 8.0)]))
    riding = steering.knuckles(axle, drag_link_inner=INNER, servo_on_axle=True)
    np.testing.assert_allclose(riding.left.angle, 0.0, atol=1e-12)
    fixed = steering.knuckles(axle, drag_link_inner=INNER)
    assert fixed.left.angle[[0, 2]].min() > np.radians(0.5)


def test_both_wheels_turn_the_same_way(steering):
    found = steering.knuckles(Motion.identity(), drag_link_inner=INNER + np.array([0.0, 4.0, 0.0]))
    spin_left, spin_right = found.left.turn(np.array([0.0, 1.0, 0.0])), found.right.turn(np.array([0.0, 1.0, 0.0]))
    assert spin_left[0] * spin_right[0] > 0
    assert abs(spin_left[0]) > np.sin(np.radians(10))
