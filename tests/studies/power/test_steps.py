"""Exact steps against scipy's matrix exponential and against the textbook's exponential."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm

from coachwork.studies.power.steps import weights


@given(st.floats(-1e3, 0.0), st.floats(1e-6, 1e3), st.floats(-5, 5), st.floats(-5, 5), st.floats(-5, 5))
def test_a_step_is_the_matrix_exponential_of_its_own_equations(decay, h, y0, n0, n1):
    """The system y' = a y + n, n' = (n1 - n0) / h as one linear system, its exponential by another library."""
    keep, one, two = weights(np.array([[decay]]), np.array([h]))
    ours = float((keep * y0 + one * n0 + two * (n1 - n0))[0, 0])

    system = np.array([[decay, 1, 0], [0, 0, (n1 - n0) / h], [0, 0, 0]])
    theirs = (expm(system * h) @ [y0, n0, 1.0])[0]
    assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-9 * max(1.0, h))


@pytest.mark.parametrize("z", [-1e-2, -1.001e-3, -0.999e-3, -1e-5, -1e-9, 0.0])
def test_series_and_quotient_meet(z):
    """Both sides of the border where one takes over from the other, against the quotients in long arithmetic."""
    _, one, two = weights(np.array([[z]]), np.array([1.0]))
    first = 1 + z / 2 + z**2 / 6 + z**3 / 24 + z**4 / 120
    second = 1 / 2 + z / 6 + z**2 / 24 + z**3 / 120 + z**4 / 720
    assert one[0, 0] == pytest.approx(first, rel=1e-9)
    assert two[0, 0] == pytest.approx(second, rel=1e-9)


def test_a_single_lump_warms_as_the_exponential():
    """T = P R (1 - exp(-t / (R C))), as in any textbook of heat: 4 W, 20 K/W, 40 J/K, after 500 s."""
    power, resistance, capacity, t = 4.0, 20.0, 40.0, 500.0
    keep, one, _ = weights(np.array([[-1 / (resistance * capacity)]]), np.array([t]))

    assert float((keep * 0 + one * power / capacity)[0, 0]) == pytest.approx(
        power * resistance * (1 - np.exp(-t / (resistance * capacity))), rel=1e-12
    )
