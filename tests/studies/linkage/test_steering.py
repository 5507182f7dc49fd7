"""Servo to wheel: each link of the chain by an independent route, and the end where the tie-rod runs out."""

import numpy as np
import pytest

from coachwork.geometry.circle_sphere import Pin
from coachwork.geometry.vectors import length
from coachwork.studies.linkage.steering import (
    ServoDrive,
    crank_ball,
    knuckle_rate,
    slide_ball,
    tie_rod_lever_mm,
)

Z = np.array([0.0, 0.0, 1.0])
PIVOT = Pin(np.array([-20.0, 14.0, 0.0]), Z)


@pytest.fixture
def servo():
    """A servo lying down behind the cranks, its horn in the y-z plane, so that the four-bar is spatial."""
    return ServoDrive(
        servo=Pin(np.array([-36.0, -12.0, 13.0]), np.array([1.0, 0.0, 0.0])),
        horn_ball=np.array([-33.0, -12.0, 22.5]),
        crank=PIVOT,
        crank_ball=np.array([-31.0, 14.0, 22.0]),
    )


def kingpin(corner):
    return {name: getattr(corner, name) for name in ("kingpin_lower", "kingpin_upper", "tie_rod_outer")}


def test_a_slide_moves_the_ball_sideways_and_a_crank_round_its_pivot(front):
    np.testing.assert_allclose(slide_ball(front.tie_rod_inner, travel_mm=2.0) - front.tie_rod_inner, [0, 2, 0])
    moved = crank_ball(front.tie_rod_inner, pivot=PIVOT, angle_rad=np.pi / 2)
    x, y = front.tie_rod_inner[:2] - PIVOT.point[:2]
    np.testing.assert_allclose(moved - PIVOT.point, [-y, x, front.tie_rod_inner[2]], atol=1e-13)


def test_the_drag_link_keeps_its_length(servo):
    angles = np.radians(np.linspace(-30, 30, 13))
    turned = servo.servo_swing(angles)
    assert np.all(turned.room > 0)
    horn = crank_ball(servo.horn_ball, pivot=servo.servo, angle_rad=turned.angle)
    ball = crank_ball(servo.crank_ball, pivot=servo.crank, angle_rad=angles)
    np.testing.assert_allclose(length(ball - horn), servo.drag_link_length_mm, atol=1e-12)


def test_crank_rate_is_the_derivative(servo):
    """Central difference of step 1e-5 rad: error and rounding under 1e-9."""
    angles = np.radians(np.linspace(-30, 30, 13))
    difference = (servo.servo_swing(angles + 1e-5).angle - servo.servo_swing(angles - 1e-5).angle) / 2e-5
    rate = servo.crank_rate(servo_angle_rad=servo.servo_swing(angles).angle, crank_angle_rad=angles)
    np.testing.assert_allclose(rate, 1 / difference, atol=1e-8)


def test_a_drag_link_too_long_for_the_horn_says_so(servo):
    long = ServoDrive(
        servo=servo.servo,
        horn_ball=servo.horn_ball,
        crank=servo.crank,
        crank_ball=servo.crank_ball,
        drag_link_length_mm=servo.drag_link_length_mm + 60.0,
    )
    assert long.servo_swing(0.0).room < 0
    assert np.isnan(long.servo_swing(0.0).angle)


def test_transmission_is_the_derivative_by_tie_rod_length(front_hardpoints, front):
    """Central difference of step 1e-5 mm: its error goes with 1e-10, rounding is 1e-15 / 1e-5; both under 1e-8."""
    rack = slide_ball(front.tie_rod_inner, travel_mm=np.linspace(-6, 6, 13))

    def knuckle_angle(change):
        changed = type(front)(**front_hardpoints, tie_rod_length_mm=front.tie_rod_length_mm + change)
        return changed.poses(arm_angle_rad=0.1, tie_rod_inner=rack).knuckle_angle_rad

    poses = front.poses(arm_angle_rad=0.1, tie_rod_inner=rack)
    lever = tie_rod_lever_mm(poses.knuckle, **kingpin(front), tie_rod_inner=rack)
    assert np.all(lever < 0)  # the ball lies behind the kingpin: a longer rod steers to the right
    np.testing.assert_allclose(1 / lever, (knuckle_angle(1e-5) - knuckle_angle(-1e-5)) / 2e-5, atol=1e-8)


def test_knuckle_rate_is_the_derivative_by_rack_travel(front):
    travel = np.linspace(-6, 6, 13)

    def knuckle_angle(change):
        ball = slide_ball(front.tie_rod_inner, travel_mm=travel + change)
        return front.poses(arm_angle_rad=-0.1, tie_rod_inner=ball).knuckle_angle_rad

    rack = slide_ball(front.tie_rod_inner, travel_mm=travel)
    rate = knuckle_rate(
        front.poses(arm_angle_rad=-0.1, tie_rod_inner=rack).knuckle,
        **kingpin(front),
        tie_rod_inner=rack,
        inner_velocity=np.array([0.0, 1.0, 0.0]),
    )
    np.testing.assert_allclose(rate, (knuckle_angle(1e-5) - knuckle_angle(-1e-5)) / 2e-5, atol=1e-8)
