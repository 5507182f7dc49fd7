"""What must hold for every kind of corner: two solvers agree, velocities are derivatives, mirror images match."""

import dataclasses

import numpy as np
import pytest

from coachwork.studies.linkage.newton import knuckle_assembly

ARM = np.radians(np.linspace(-18, 20, 21))[:, None]
RACK = np.linspace(-6.0, 6.0, 17)[:, None] * np.array([0.0, 1.0, 0.0])


@pytest.fixture(params=["front", "two_arm"])
def corner(request):
    return request.getfixturevalue(request.param)


@pytest.fixture
def grid(corner):
    return {"arm_angle_rad": ARM, "tie_rod_inner": corner.tie_rod_inner + RACK}


def test_closed_form_and_newton_agree_within_1e_9_mm(corner, grid, wheel):
    closed, newton = corner.poses(**grid), knuckle_assembly(corner, **grid).checked()
    assert closed.knuckle.shift.shape == (21, 17, 3)
    for point in (wheel.centre, wheel.centre + 33.0 * np.eye(3)[0], wheel.centre - 33.0 * np.eye(3)[2]):
        np.testing.assert_allclose(closed.knuckle.at(point), newton.motions[-1].at(point), rtol=0, atol=1e-9)


def test_newton_converges_quadratically(corner, grid):
    """Six steps over 38 degrees of arm and 60 of lock; a wrong derivative would need dozens."""
    assert knuckle_assembly(corner, **grid).checked().iterations <= 6


def test_closed_form_and_newton_agree_where_nothing_assembles(corner):
    far = {"arm_angle_rad": np.zeros(1), "tie_rod_inner": corner.tie_rod_inner - np.array([0.0, 40.0, 0.0])}
    assert not corner.poses(**far).assembles.any()
    assert not knuckle_assembly(corner, **far).converged.any()


def test_bump_twist_is_the_derivative_of_the_pose(corner, grid, wheel):
    """Central difference, step 1e-5 rad: 40 mm * (1e-5)^2 of error and 1e-14 / 1e-5 of rounding, both under 1e-8."""
    step = 1e-5
    ahead, behind = (
        corner.poses(arm_angle_rad=ARM + sign * step, tie_rod_inner=grid["tie_rod_inner"]) for sign in (1, -1)
    )
    poses = corner.poses(**grid)
    twist = corner.bump_twist(poses, tie_rod_inner=grid["tie_rod_inner"])
    for point in (wheel.centre, wheel.centre + np.array([30.0, 0.0, 0.0])):
        difference = (ahead.knuckle.at(point) - behind.knuckle.at(point)) / (2 * step)
        np.testing.assert_allclose(twist.at(poses.knuckle.at(point)), difference, atol=1e-7)


def test_a_mirrored_corner_moves_as_the_mirror_image(corner, wheel):
    """Mirrored front to rear (x -> -x), which no line of the code knows; every branch is then the other one."""
    flip = np.array([-1.0, 1.0, 1.0])
    points = {
        field.name: getattr(corner, field.name) * flip
        for field in dataclasses.fields(corner)
        if not field.name.endswith("length_mm")
    }
    other_end = {"front": "rear", "rear": "front"}
    swapped = {"_".join(other_end.get(word, word) for word in name.split("_")): point for name, point in points.items()}
    mirrored = type(corner)(**swapped)
    poses = corner.poses(arm_angle_rad=ARM, tie_rod_inner=corner.tie_rod_inner + RACK)
    image = mirrored.poses(arm_angle_rad=ARM, tie_rod_inner=mirrored.tie_rod_inner + RACK)
    np.testing.assert_allclose(image.knuckle.at(wheel.centre * flip), poses.knuckle.at(wheel.centre) * flip, atol=1e-11)
    np.testing.assert_allclose(image.knuckle_angle_rad, -poses.knuckle_angle_rad, atol=1e-12)
