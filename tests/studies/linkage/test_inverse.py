"""Every answer is put back into the forward problem; the wanted value must come out."""

from dataclasses import replace

import numpy as np
import pytest

from coachwork.studies.linkage.inverse import camber_link_length_mm, least_bump_steer, tie_rod_length_mm
from coachwork.studies.linkage.travel import arm_angle_at_height
from coachwork.studies.linkage.wheel_angles import camber_rad, toe_in_rad

RIDE = 18.0
UP = np.array([0.0, 0.0, 1.0])


@pytest.fixture(params=["front", "two_arm"])
def corner(request):
    return request.getfixturevalue(request.param)


def knuckle_at(corner, wheel, height):
    found = arm_angle_at_height(corner, wheel_centre=wheel.centre, height_mm=height)
    assert found.reached.all()
    return corner.poses(arm_angle_rad=found.angle_rad).knuckle


def test_camber_link_gives_the_wanted_camber(front, wheel):
    wanted = np.radians([-3.0, -1.0, 0.0, 2.0])
    lengths = camber_link_length_mm(front, wheel, camber=wanted, height_mm=np.full(4, RIDE + 2.0))
    assert np.all(np.diff(lengths) > 0)  # a longer link pushes the top out
    changed = replace(front, camber_link_length_mm=lengths)
    got = camber_rad(knuckle_at(changed, wheel, np.full(4, RIDE + 2.0)), wheel)
    np.testing.assert_allclose(got, wanted, atol=1e-9)


def test_tie_rod_gives_the_wanted_toe(corner, wheel):
    wanted = np.radians([-2.0, 0.0, 0.5, 2.0])
    lengths = tie_rod_length_mm(corner, wheel, toe_in=wanted, height_mm=np.full(4, RIDE - 3.0))
    changed = replace(corner, tie_rod_length_mm=lengths)
    got = toe_in_rad(knuckle_at(changed, wheel, np.full(4, RIDE - 3.0)), wheel)
    np.testing.assert_allclose(got, wanted, atol=1e-9)


def test_a_rod_much_too_long_does_not_mislead(corner, wheel):
    """It holds the wheel steered by tens of degrees; the length that puts it straight does not hang on it."""
    right = tie_rod_length_mm(corner, wheel, toe_in=np.radians(-20.0), height_mm=RIDE)
    longer = replace(corner, tie_rod_length_mm=corner.tie_rod_length_mm + 7.0)
    assert abs(toe_in_rad(knuckle_at(longer, wheel, RIDE), wheel)) > np.radians(25.0)

    np.testing.assert_allclose(tie_rod_length_mm(longer, wheel, toe_in=np.radians(-20.0), height_mm=RIDE), right)


def test_a_length_is_told_only_where_the_corner_stands_so_with_it(corner, wheel):
    """A rod that would have to pass its dead centre steers the other way again: such a toe has no rod."""
    wanted = np.radians(np.linspace(-85.0, 85.0, 35))
    lengths = tie_rod_length_mm(corner, wheel, toe_in=wanted, height_mm=np.full(35, RIDE))
    assert not np.isfinite(lengths[:3]).any()
    changed = replace(corner, tie_rod_length_mm=lengths[6:])
    got = toe_in_rad(knuckle_at(changed, wheel, np.full(29, RIDE)), wheel)
    np.testing.assert_allclose(got, wanted[6:], atol=1e-9)


def test_a_camber_nobody_can_have_is_nan(front, wheel):
    assert np.isnan(camber_link_length_mm(front, wheel, camber=np.radians(89.9), height_mm=RIDE))


def test_least_bump_steer_beats_its_neighbours_and_keeps_the_toe(corner, wheel):
    """Started from a stud that somebody moved 2 mm up, as builders do."""
    corner = replace(corner, tie_rod_inner=corner.tie_rod_inner + 2.0 * UP)
    heights = RIDE + np.linspace(-9.0, 9.0, 19)
    cure = least_bump_steer(corner, wheel, heights_mm=heights, ride_height_mm=RIDE)
    assert cure.toe_change_rad < 0.5 * cure.toe_change_before_rad
    ride = toe_in_rad(knuckle_at(corner, wheel, RIDE), wheel)

    def worst(by, rod):
        raised = replace(corner, tie_rod_inner=corner.tie_rod_inner + by * UP, tie_rod_length_mm=rod)
        return raised, np.abs(toe_in_rad(knuckle_at(raised, wheel, heights), wheel) - ride).max()

    raised, change = worst(cure.raise_inner_mm, cure.tie_rod_length_mm)
    np.testing.assert_allclose(change, cure.toe_change_rad, atol=1e-12)
    np.testing.assert_allclose(toe_in_rad(knuckle_at(raised, wheel, RIDE), wheel), ride, atol=1e-10)
    outer = knuckle_at(corner, wheel, RIDE).at(corner.tie_rod_outer)
    for aside in (-0.02, 0.02):  # mm: far more than the search's last grid
        by = cure.raise_inner_mm + aside
        rod = np.linalg.norm(outer - corner.tie_rod_inner - by * UP)
        assert worst(by, rod)[1] > cure.toe_change_rad


def test_where_the_search_begins_does_not_matter(corner, wheel):
    heights = RIDE + np.linspace(-9.0, 9.0, 19)
    arm = arm_angle_at_height(corner, wheel_centre=wheel.centre, height_mm=heights).angle_rad
    one, other = (
        least_bump_steer(corner, wheel, heights_mm=heights, ride_height_mm=RIDE, start_rad=start)
        for start in (None, arm + 0.02)
    )
    np.testing.assert_allclose(list(vars(one).values()), list(vars(other).values()), rtol=0, atol=1e-9)


def test_an_unsteered_corner_has_no_bump_steer_to_cure(front_hardpoints, front, wheel):
    rear = type(front)(**{k: v for k, v in front_hardpoints.items() if not k.startswith(("kingpin", "tie_rod"))})
    with pytest.raises(ValueError, match="no tie-rod"):
        least_bump_steer(rear, wheel, heights_mm=np.array([RIDE]), ride_height_mm=RIDE)
    with pytest.raises(ValueError, match="no such link"):
        tie_rod_length_mm(rear, wheel, toe_in=0.0, height_mm=RIDE)
