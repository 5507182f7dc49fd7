"""The robust circle against another route to the same circle, and its stated spread against repeated measuring."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from coachwork.scans.circle import fitted

CENTRE, RADIUS = np.array([3.0, 5.0]), 43.0


def arc(random: np.random.Generator, *, noise: float, count: int = 200, start: float = 10, end: float = 170):
    turn = np.radians(random.uniform(start, end, count))
    points = CENTRE + RADIUS * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    return points + random.normal(scale=noise, size=points.shape)


def test_without_outliers_it_is_the_circle_of_least_squares(random):
    """By scipy's least squares on the same distances; the biweight at this size weighs good points nearly alike."""
    points = arc(random, noise=0.05)

    circle = fitted(points, centre=np.zeros(2), radius=40.0, least_scale=10.0)

    other = least_squares(lambda u: np.hypot(*(points - u[:2]).T) - u[2], [0, 0, 40.0], xtol=1e-14, ftol=1e-14)
    assert np.array([*circle.centre, circle.radius]) == pytest.approx(other.x, abs=1e-4)


def test_a_third_of_the_points_may_belong_to_something_else(random):
    points = arc(random, noise=0.05)
    elsewhere = random.uniform(-30, 60, (100, 2))
    circle = fitted(np.concatenate([points, elsewhere]), centre=np.array([2.0, 4.0]), radius=42.0, least_scale=0.05)

    assert np.hypot(*(circle.centre - CENTRE)) < 0.05
    assert circle.radius == pytest.approx(RADIUS, abs=0.05)
    assert circle.weights[200:].sum() < 0.05 * circle.weights[:200].sum()


def test_the_stated_standard_deviations_are_those_of_repeated_fits(random):
    fits = [fitted(arc(random, noise=0.07), centre=np.zeros(2), radius=40.0, least_scale=0.01) for _ in range(300)]
    seen = np.std([[*fit.centre, fit.radius] for fit in fits], axis=0)
    told = np.median([fit.sigmas for fit in fits], axis=0)
    # 300 fits tell a standard deviation to 4 % (one sigma); the biweight costs 5 % of efficiency.
    assert told == pytest.approx(seen, rel=0.2)


def test_a_short_arc_is_told_by_its_spread(random):
    """90 degrees of arc leave the radius several times less certain than 160 do."""
    long = fitted(arc(random, noise=0.07), centre=np.zeros(2), radius=40.0, least_scale=0.01)
    short = fitted(arc(random, noise=0.07, start=45, end=135), centre=np.zeros(2), radius=40.0, least_scale=0.01)
    assert short.sigmas[2] > 3 * long.sigmas[2]
    assert abs(short.radius - RADIUS) < 4 * short.sigmas[2]


@pytest.fixture
def random() -> np.random.Generator:
    return np.random.default_rng(11)
