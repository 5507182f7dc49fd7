"""Springs through a linkage against a damper known in closed form."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from coachwork.studies.balance.sprung import Reach, Springs


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


def test_at_a_stop_it_is_at_the_stop_itself(straight_springs):
    stops = straight_springs().settle_mm(np.array([100.0, 0.5]))

    assert list(stops) == [8.0, -6.0]


def test_a_spring_that_hangs_loose_settles_past_where_it_begins_to_hold(straight_springs):
    """Loose until 4 mm of rise, then 2 k r^2 = 0.3 N a mm, whatever poses lie on either side of that."""
    for steps in (2, 9, 15):
        springs = straight_springs(free=36.0, fitted=36.0, out=48.0, steps=steps)
        assert springs.settle_mm(np.array([0.06]))[0] == pytest.approx(4.2, abs=1e-9)


def test_of_two_travels_that_hold_the_load_it_rests_on_the_one_it_is_let_down_to():
    """A damper that swings over its dead point: 2 k (slack - L) r rises from droop, and falls again towards bump."""
    z = np.linspace(-6.0, 10.0, 33)[None, :]
    springs = Springs(
        reach=Reach(travel_mm=z, damper_mm=50.0 - 0.5 * z + 0.02 * z**2, ratio=0.5 - 0.04 * z, roll_lever_mm=z[:, 0]),
        rate_n_per_mm=np.array([0.6]), free_mm=np.array([44.0]), fitted_mm=np.array([36.0]),
        damper_out_mm=np.array([46.0]),
    )  # fmt: skip

    def short(rise):
        return 2 * 0.6 * (54.0 - 50.0 + 0.5 * rise - 0.02 * rise**2) * (0.5 - 0.04 * rise) - 2.4

    assert short(-6.0) < 0 < short(0.5)
    assert short(8.0) < 0

    assert springs.settle_mm(np.array([2.4]))[0] == pytest.approx(brentq(short, -6.0, 0.5), abs=1e-9)


def test_many_samples_settle_as_each_by_itself(arm_springs):
    """Springs of all rates and lengths, many of them at a stop; between the stops the force is the load."""
    springs = arm_springs[0]
    rng = np.random.default_rng(5)
    rate, free, load = rng.uniform(0.2, 1.5, 200), rng.uniform(36.0, 50.0, 200), rng.uniform(1.0, 15.0, 200)

    def of(which):
        return replace(springs, rate_n_per_mm=rate[which], free_mm=free[which])

    many = of(slice(None)).settle_mm(load)

    alone = [of(slice(i, i + 1)).settle_mm(load[i : i + 1])[0] for i in range(200)]
    np.testing.assert_allclose(many, alone, rtol=0, atol=1e-9)
    between = (many > -8.0) & (many < 8.0)
    assert 20 < (~between).sum() < 180
    np.testing.assert_allclose(of(between).at_wheels_n(many[between]), load[between], rtol=1e-9)


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
