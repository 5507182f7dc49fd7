"""Springs through a linkage against a damper known in closed form."""

import numpy as np
import pytest
from scipy.optimize import brentq


def test_between_poses_the_damper_is_as_long_as_pythagoras_says(arm_springs):
    """17 poses over 16 mm: the cubic's error goes with step^4 / 384 times the fourth derivative, far under 1e-6 mm."""
    springs, damper, ratio = arm_springs
    for z in np.linspace(-8.0, 8.0, 41):
        length, by_rise, _ = springs.at(np.array([z]))
        assert length[0] == pytest.approx(damper(z), abs=1e-6)
        assert by_rise[0] == pytest.approx(ratio(z), abs=1e-5)


def test_the_wheels_are_held_by_what_the_springs_give_in_energy(arm_springs):
    """Virtual work by another route: force at the wheels is the derivative of both springs' energy over rise."""
    springs, damper, _ = arm_springs

    def energy(z):
        squeezed = 44.0 - 36.0 + 56.0 - damper(z)
        return 2 * 0.6 * squeezed**2 / 2

    for z in (-5.0, 0.3, 6.0):
        slope = (energy(z + 1e-4) - energy(z - 1e-4)) / 2e-4
        bend = (energy(z + 1e-2) - 2 * energy(z) + energy(z - 1e-2)) / 1e-4
        assert springs.at_wheels_n(np.array([z]))[0] == pytest.approx(slope, rel=1e-5)
        assert springs.rate_at_wheels_n_per_mm(np.array([z]))[0] == pytest.approx(bend, rel=2e-3)


def test_it_settles_where_the_force_is_the_load(arm_springs):
    springs, damper, ratio = arm_springs

    def short(z):
        return 2 * 0.6 * (64.0 - damper(z)) * ratio(z) - 9.0

    assert springs.settle_mm(np.array([9.0]))[0] == pytest.approx(brentq(short, -8, 8), abs=1e-4)


def test_loads_beyond_the_springs_rest_on_the_stops(straight_springs):
    springs = straight_springs()

    assert springs.settle_mm(np.array([100.0]))[0] == pytest.approx(8.0)
    assert springs.settle_mm(np.array([0.5]))[0] == pytest.approx(-6.0)


def test_a_loose_spring_holds_nothing(straight_springs):
    springs = straight_springs(free=36.0, fitted=36.0, out=48.0)  # slack until the damper is 48 mm: 4 mm of rise

    assert springs.at_wheels_n(np.array([0.0]))[0] == 0.0
    assert springs.rate_at_wheels_n_per_mm(np.array([0.0]))[0] == 0.0
    assert springs.at_wheels_n(np.array([6.0]))[0] == pytest.approx(2 * 0.6 * 1.0 * 0.5)


def test_samples_settle_each_on_their_own(straight_springs):
    springs = straight_springs()

    settled = springs.settle_mm(np.array([5.0, 7.0, 9.0]))

    assert np.all(np.diff(settled) > 0)
    np.testing.assert_allclose(springs.at_wheels_n(settled), [5.0, 7.0, 9.0])


def test_roll_rate_is_two_springs_on_the_track(straight_springs):
    """K r^2 at each wheel, half a track out: K = 2 k r^2 (t/2)^2 (Gillespie, Fundamentals of Vehicle Dynamics)."""
    assert straight_springs().roll_rate_n_mm()[0] == pytest.approx(2 * 0.6 * 0.5**2 * 75.0**2)
