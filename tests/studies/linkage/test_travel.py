"""Asked for a height, the arm angle must put the wheel centre there, or say how far short it stays."""

import numpy as np
import pytest

from coachwork.studies.linkage.travel import arm_angle_at_height


@pytest.fixture(params=["front", "two_arm"])
def corner(request):
    return request.getfixturevalue(request.param)


def test_wanted_heights_are_reached(corner, wheel):
    """1e-12 mm is what the search promises; computing the height again rounds at some 1e-14."""
    wanted = wheel.centre[2] + np.linspace(-14.0, 14.0, 29)
    found = arm_angle_at_height(corner, wheel_centre=wheel.centre, height_mm=wanted)
    assert found.reached.all()
    height = corner.poses(arm_angle_rad=found.angle_rad).knuckle.at(wheel.centre)[:, 2]
    np.testing.assert_allclose(height, wanted, rtol=0, atol=2e-12)
    assert np.all(np.diff(found.angle_rad) > 0)


def test_heights_beyond_the_mechanism_say_how_far_short_they_stay(corner, wheel):
    """The search must stop at the best of 20,000 poses; the height changes slowly up there: 0.05 mm is their step."""
    found = arm_angle_at_height(corner, wheel_centre=wheel.centre, height_mm=np.array([90.0, 18.0, -90.0]))
    np.testing.assert_array_equal(found.reached, [False, True, False])
    for index, sign in ((0, 1), (2, -1)):
        angles = sign * np.linspace(0.0, np.pi / 2, 20001)
        poses = corner.poses(arm_angle_rad=angles)
        ok = np.logical_and.accumulate(poses.assembles)
        best = np.nanmax(sign * poses.knuckle.at(wheel.centre)[ok, 2])
        reached = sign * (np.array([90.0, 18.0, -90.0]) - found.short_mm)[index]
        np.testing.assert_allclose(reached, best, atol=0.05)
