"""The third order's addition by the second order's factors, against the third order factorised itself."""

import pytest


@pytest.fixture(scope="module")
def told(case):
    """The tray with four screws an end, twisted and bent."""
    return case("third")


def test_stress_at_some_corners_is_that_at_all(told):
    assert max(told["stress_apart"]) < 1e-9 * told["stress"]


def test_it_is_what_factorising_the_third_order_gives(told):
    """Steps stop where one adds under 1 %: all that is left is under 3 %."""
    for added, second, whole in zip(told["added"], told["second"], told["whole"], strict=True):
        assert second + added <= whole * (1 + 1e-9)  # each step is a best approximation from below
        assert added == pytest.approx(whole - second, rel=0.03)
        assert added > 0.01 * whole  # a mesh so coarse that there is something to add


def test_a_bar_sags_under_its_own_weight_by_the_book(case):
    """Euler's 5 q L^4 / (384 E I) between its supports less what the ends beyond lift it, and Timoshenko's shear.

    10 x 8 mm, 100 long, 1 N in all, supports 4 mm from the ends, 1 MPa. The overhangs' couple q a^2 / 2 lifts the
    middle by M L^2 / (8 E I). Shear: q L^2 / (8 G A) x 6/5. A slice is the mean over 4 mm, and its depth: within 1 %.
    """
    told = case("hanging")
    q, long, second_moment, area, shear = 1 / 100, told["span"], 10 * 8**3 / 12, 80.0, 1 / 2.6
    bending = 5 * q * long**4 / (384 * second_moment) - q * 4.0**2 / 2 * long**2 / (8 * second_moment)
    sheared = 1.2 * q * long**2 / (8 * shear * area)

    assert told["sag"] == pytest.approx(bending + sheared, rel=0.01)
