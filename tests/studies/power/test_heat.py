"""The network of lumps against linear algebra, and film and draught against their sources' numbers."""

import numpy as np
import pytest
from power_case import Case

from coachwork.studies.power.heat import AIR, CONTROLLER, NODES, REGULATOR, draught, film_w_m2k, modes_of

CASES = (Case(), Case().but(closed=False), Case().but(built_in=False, linear=False), Case().but(opening_m2=0.0))


@pytest.mark.parametrize("case", CASES)
def test_modes_settle_where_the_conductances_say(case):
    """G T = q solved directly, against the modes run for a year."""
    net = case.net()
    modes = modes_of(net)
    heat = np.array([[1.0, 2.0, 3.0, 4.0, 0.5, 1.5, 0.0]])
    conductance = -net.between_w_k[0] + np.diag(net.between_w_k[0].sum(axis=1) + net.outside_w_k[0])

    settled = modes.rise_k(-modes.drive(heat) / modes.decay_s)
    assert settled[0] == pytest.approx(np.linalg.solve(conductance, heat[0]), rel=1e-8)


@pytest.mark.parametrize("case", CASES)
def test_modes_are_the_matrix_exponential(case):
    """The whole network over ten minutes against scipy's exponential of C^-1 G."""
    from scipy.linalg import expm

    net = case.net()
    modes, start = modes_of(net), np.array([[5.0, 40.0, 60.0, 20.0, 15.0, 9.0, 4.0]])
    conductance = -net.between_w_k[0] + np.diag(net.between_w_k[0].sum(axis=1) + net.outside_w_k[0])

    later = modes.rise_k(np.exp(600 * modes.decay_s) * modes.modes(start))
    theirs = expm(-600 * conductance / net.capacity_j_k[0][:, None]) @ start[0]
    assert later[0] == pytest.approx(theirs, rel=1e-7, abs=1e-7)


def test_modes_invert():
    modes, rise = modes_of(Case().net()), np.arange(NODES, dtype=float)[None] + 1
    assert modes.rise_k(modes.modes(rise)) == pytest.approx(rise)


def test_film_coefficients_are_those_of_the_standard():
    """ISO 6946:2007, table A.2 by its formula 4 + 4 v, with radiation: R_se = 0.04 m2 K/W is 25 W/(m2 K) at 4 m/s."""
    assert film_w_m2k(4.0) == pytest.approx(1 / 0.04, rel=0.03)


def test_draught_by_height_is_the_stack_formula():
    """Two openings of 10 cm2 in series, 0.3 m apart, 20 K: 0.65 A sqrt(2 g H dT / T) / sqrt 2, by hand 0.35 W/K."""
    through = draught(
        area_m2=np.array([20e-4]), height_m=np.array([0.3]), wind_m_s=np.zeros(1), outside_degc=np.array([20.0])
    )
    got = through.w_k(np.array([20.0]))
    by_hand = 1190 * 0.65 * 10e-4 / np.sqrt(2) * np.sqrt(2 * 9.80665 * 0.3 * 20 / 293.15)
    assert got[0] == pytest.approx(by_hand)
    assert by_hand == pytest.approx(0.347, abs=0.001)


def test_openings_and_wind_only_cool():
    """Whatever is opened, the same heat ends in cooler air."""

    def air(case):
        modes = modes_of(case.net())
        heat = np.zeros((1, NODES))
        heat[0, CONTROLLER] = heat[0, REGULATOR] = 3.0
        return modes.rise_k(-modes.drive(heat) / modes.decay_s)[0, AIR]

    base = Case()
    tight = air(base.but(opening_m2=0.0))
    assert tight > air(base) > air(base.but(opening_m2=0.01)) > air(base.but(closed=False))
    assert air(base) > air(base.but(speed_m_s=3.0))
