"""Signs by ISO 8855 and sizes by hand, on a knuckle that is put where we want it."""

import numpy as np
import pytest

from coachwork.geometry.rigid import Motion
from coachwork.studies.linkage.poses import Wheel
from coachwork.studies.linkage.wheel_angles import (
    camber_rad,
    contact_point,
    kingpin_poses,
    steer_rad,
    toe_in_rad,
    tyre_sweep_mm,
)

X, Y, Z = np.eye(3)
CENTRE = np.array([0.0, 75.0, 33.0])


@pytest.fixture
def upright():
    return Wheel(centre=CENTRE, spin_axis=Y, tyre_radius_mm=33.0)


def turn(axis, degrees):
    return Motion.about(CENTRE, axis, np.radians(degrees))


def test_top_leaning_out_is_positive_camber(upright):
    """On the left, out is +y: the top goes there when turned about -x."""
    np.testing.assert_allclose(camber_rad(turn(-X, 3.0), upright), np.radians(3.0), atol=1e-15)


def test_turned_left_is_positive_steer_and_toe_out(upright):
    knuckle = turn(Z, 5.0)
    front_of_wheel = knuckle.at(CENTRE + 33.0 * X)
    assert front_of_wheel[1] > 75.0
    np.testing.assert_allclose(steer_rad(knuckle, upright), np.radians(5.0), atol=1e-15)
    np.testing.assert_allclose(toe_in_rad(knuckle, upright), -np.radians(5.0), atol=1e-15)


def test_camber_does_not_change_a_steered_wheels_heading(upright):
    knuckle = turn(Z, 20.0) @ turn(-X, 4.0)
    np.testing.assert_allclose(steer_rad(knuckle, upright), np.radians(20.0), atol=1e-15)
    np.testing.assert_allclose(camber_rad(knuckle, upright), np.radians(4.0), atol=1e-15)


def test_the_contact_point_is_the_lowest_of_the_disc(upright):
    """Against 100,000 points of the rim; the parabola's bottom is off by 33 * (pi / 1e5)^2 / 2 = 2e-8 mm at most."""
    knuckle = turn(Z, 25.0) @ turn(-X, 6.0)
    around = np.linspace(0, 2 * np.pi, 100001)[:, None]
    rim = knuckle.at(CENTRE + 33.0 * (np.cos(around) * X + np.sin(around) * Z))
    lowest = rim[rim[:, 2].argmin()]
    found = contact_point(knuckle, upright)
    np.testing.assert_allclose(found[2], lowest[2], atol=2e-8)
    np.testing.assert_allclose(found, lowest, atol=33 * 2 * np.pi / 1e5)
    np.testing.assert_allclose(np.linalg.norm(found - CENTRE), 33.0, atol=1e-12)


def test_kingpin_angles_and_offsets_by_hand(upright):
    """A line that climbs 30, leans in by 6 and back by 3: tan = 0.2 and 0.1; it meets the ground 9 inboard, 4 ahead."""
    ground = np.array([4.0, 66.0, 0.0])
    lower = ground + 0.25 * np.array([-3.0, -6.0, 30.0])
    upper = ground + np.array([-3.0, -6.0, 30.0])
    found = kingpin_poses(Motion.identity(), upright, kingpin_lower=lower, kingpin_upper=upper)
    np.testing.assert_allclose(np.tan(found.caster_rad), 0.1, atol=1e-15)
    np.testing.assert_allclose(np.tan(found.inclination_rad), 0.2, atol=1e-15)
    np.testing.assert_allclose(found.scrub_radius_mm, 9.0, atol=1e-12)
    np.testing.assert_allclose(found.trail_mm, 4.0, atol=1e-12)
    np.testing.assert_allclose(found.offset_at_wheel_centre_mm, 9.0 + 33 * 0.2, atol=1e-12)


def test_a_vertical_kingpins_offsets_go_with_the_wheel(upright):
    """Steering about a vertical line changes neither scrub nor trail, which are measured along the wheel."""
    lower, upper = np.array([4.0, 66.0, 8.0]), np.array([4.0, 66.0, 27.0])
    steered = Motion.about(lower, Z, np.radians(np.linspace(-35, 35, 9)))
    found = kingpin_poses(steered, upright, kingpin_lower=lower, kingpin_upper=upper)
    np.testing.assert_allclose(found.scrub_radius_mm, 9.0, atol=1e-12)
    np.testing.assert_allclose(found.trail_mm, 4.0, atol=1e-12)


def test_the_further_inboard_the_kingpin_the_further_the_tyre_sweeps(upright):
    """Common practice of the trade; about a vertical kingpin the sweep is offset * sin(steer)."""
    sweeps = []
    for inboard in (4.0, 9.0, 18.0):
        pin = np.array([0.0, 75.0 - inboard, 0.0])
        knuckle = Motion.about(pin, Z, np.radians(30.0))
        sweeps.append(tyre_sweep_mm(knuckle, upright, straight=Motion.identity()))
        np.testing.assert_allclose(sweeps[-1], -inboard * 0.5, atol=1e-12)
    assert np.all(np.diff(np.abs(sweeps)) > 0)
