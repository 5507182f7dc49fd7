"""The landing against an integration of the motion, and its limit cases."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coachwork.studies.structure.drop import Landing, gives_mm, landing

LOAD, WHEEL, BUMP, TYRE, END = 13.0, 0.35, 7.5, 12.0, 40.0


def landed(height_mm: float, **other: float) -> Landing:
    numbers = {"load_n": LOAD, "wheel_rate_n_per_mm": WHEEL, "bump_mm": BUMP, "tyre_rate_n_per_mm": TYRE,
               "end_rate_n_per_mm": END} | other  # fmt: skip
    return landing(height_mm=np.array([height_mm]), **{name: np.array([value]) for name, value in numbers.items()})


@pytest.mark.parametrize("height_mm", [1.0, 3.0, 25.0, 60.0])
def test_the_peak_is_that_of_the_moving_mass(height_mm: float):
    """A mass on a spring that is soft up to its stop and stiff beyond, by Runge and Kutta."""
    mass = LOAD / 9806.65
    stiff = 1 / (1 / (2 * TYRE) + 1 / END)

    def force(s: float) -> float:
        return LOAD + 2 * WHEEL * min(s, BUMP) + stiff * max(s - BUMP, 0.0)

    start = [0.0, np.sqrt(2 * 9806.65 * height_mm)]
    run = solve_ivp(
        lambda _, y: [y[1], (LOAD - force(y[0])) / mass], (0, 0.2), start, rtol=1e-9, atol=1e-9, max_step=1e-4
    )

    assert landed(height_mm).peak_n[0] == pytest.approx(max(force(s) for s in run.y[0]), rel=1e-4)


def test_a_load_set_down_from_no_height_on_stiff_things_is_its_own():
    assert landed(1e-12).factor[0] == pytest.approx(1.0, abs=1e-4)


def test_without_springs_it_is_the_textbooks_falling_weight():
    """Roark: F = W (1 + sqrt(1 + 2 h k / W)), less the 1 under the root: it stands on its springs before."""
    stiff = 1 / (1 / (2 * TYRE) + 1 / END)
    got = landed(20.0, bump_mm=0.0).factor[0]
    assert got == pytest.approx(1 + np.sqrt(2 * 20 * stiff / LOAD), rel=1e-9)


def test_higher_is_harder():
    peaks = [landed(h).peak_n[0] for h in (1, 3, 10, 30, 100)]
    assert peaks == sorted(peaks)


@pytest.mark.parametrize("pitch", [0.0, 0.02])
def test_an_end_gives_as_euler_s_beam_does_however_the_whole_is_pitched(pitch: float):
    """A uniform bar, a newton of lift at either end, two of weight: L^3 / (30 E I), from memory.

    The mean of a beam's sag under even load is w L^4 / (120 E I).
    """
    length, rigidity = 240.0, 2e6
    x = (np.arange(400) + 0.5) * length / 400
    sag = -2 / length / (24 * rigidity) * (x**4 - 2 * length * x**3 + length**3 * x)
    given = gives_mm(x_mm=x, z_mm=sag + pitch * x, centre_mm=length / 2, lifted_mm=pitch * length, leverage=2.0)
    assert given == pytest.approx(length**3 / (30 * rigidity), rel=1e-4)


def test_a_mass_off_the_middle_is_held_at_its_centre():
    """Rigid, pitching: a mass at 100 of 240 mm from the held end weighs 2.4 for each newton of lift."""
    x = np.linspace(0.0, 240.0, 33)
    given = gives_mm(x_mm=x, z_mm=0.01 * x, centre_mm=100.0, lifted_mm=2.4, leverage=2.4)
    assert given == pytest.approx(0.0, abs=1e-12)
