"""Rigid motions against scipy's rotations, an independent implementation, and against what rigid means."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import angle_between, length, unit

RNG = np.random.default_rng(7)
AXIS, POINT, ANGLE = RNG.normal(size=(20, 3)), RNG.normal(size=(20, 3)), RNG.uniform(-3, 3, 20)
CLOUD = RNG.normal(size=(20, 3))


@pytest.fixture
def motion():
    return Motion.about(POINT, AXIS, ANGLE)


def test_rotation_is_scipys(motion):
    reference = Rotation.from_rotvec(ANGLE[:, None] * unit(AXIS))
    np.testing.assert_allclose(motion.rotation, reference.as_matrix(), atol=1e-14)
    np.testing.assert_allclose(motion.at(CLOUD), POINT + reference.apply(CLOUD - POINT), atol=1e-14)
    np.testing.assert_allclose(motion.angle, reference.magnitude(), atol=1e-14)


def test_the_axis_stays(motion):
    np.testing.assert_allclose(motion.at(POINT + 3 * AXIS), POINT + 3 * AXIS, atol=1e-13)


def test_inverse_and_back_undo(motion):
    np.testing.assert_allclose((motion.inverse @ motion).at(CLOUD), CLOUD, atol=1e-13)
    np.testing.assert_allclose(motion.back(motion.at(CLOUD)), CLOUD, atol=1e-13)
    np.testing.assert_allclose((motion @ Motion.identity()).at(CLOUD), motion.at(CLOUD), atol=0)
    np.testing.assert_allclose((motion @ Motion.by(AXIS)).at(CLOUD), motion.at(CLOUD + AXIS), atol=1e-13)


def test_between_carries_point_and_direction_by_the_least_turn():
    first, then = RNG.normal(size=(2, 20, 3))
    motion = Motion.between(POINT, CLOUD, first, then)
    np.testing.assert_allclose(motion.at(POINT), CLOUD, atol=1e-13)
    np.testing.assert_allclose(motion.turn(unit(first)), unit(then), atol=1e-13)
    np.testing.assert_allclose(motion.angle, angle_between(first, then), atol=1e-12)


def test_twist_is_the_derivative_of_a_turn():
    """Central difference of step 1e-6: its error is below 1e-11, rounding of 1e-16 / 1e-6 about 1e-10."""
    axis = unit(AXIS)
    ahead, behind = (Motion.about(POINT, axis, np.full(20, step)).at(CLOUD) for step in (1e-6, -1e-6))
    np.testing.assert_allclose(Twist.about(POINT, axis).at(CLOUD), (ahead - behind) / 2e-6, atol=1e-8)


def test_a_held_link_keeps_its_length():
    arm, own = Twist.about(POINT, unit(AXIS)), Twist.about(CLOUD, unit(POINT))
    ball, anchor = RNG.normal(size=(2, 20, 3))
    velocity = arm.holding(ball, at_distance_from=anchor, own=own).at(ball)
    scale = np.maximum(1.0, length(velocity))
    np.testing.assert_allclose(np.einsum("ni,ni->n", velocity, ball - anchor) / scale, 0.0, atol=1e-12)
