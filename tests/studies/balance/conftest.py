"""Vehicles for balance: one drawn by hand, and axles whose dampers are known in closed form."""

import numpy as np
import pytest

from coachwork.studies.balance.footing import Footing
from coachwork.studies.balance.sprung import Reach, Springs


def one(*values):
    return np.array(values, dtype=float)


@pytest.fixture
def level():
    """270 mm between the axles, wheels 75 and 77 mm out, flat underside 9 mm up, wheel centres 33 mm up."""
    return Footing(
        wheelbase_mm=one(270.0),
        half_track_mm={"front": one(75.0), "rear": one(77.0)},
        ride_height_mm={"front": one(9.0), "rear": one(9.0)},
        axle_mm={"front": one(24.0), "rear": one(24.0)},
    )


@pytest.fixture
def straight_springs():
    """A damper that shortens by the same share of wheel rise everywhere: ratio 0.5, 50 mm long at ride height."""

    def make(*, rate=0.6, free=44.0, fitted=36.0, out=53.0, ratio=0.5, half_track=75.0, steps=9):
        z = np.linspace(-6.0, 8.0, steps)[None, :]
        return Springs(
            reach=Reach(
                travel_mm=z, damper_mm=50.0 - ratio * z, ratio=np.full_like(z, ratio),
                roll_lever_mm=one(ratio * half_track),
            ),
            rate_n_per_mm=one(rate), free_mm=one(free), fitted_mm=one(fitted), damper_out_mm=one(out),
        )  # fmt: skip

    return make


@pytest.fixture
def arm_springs():
    """A damper from a fixed eye to an arm of 60 mm that carries the wheel at its end: length by Pythagoras."""
    upper, lower = np.array([14.0, 48.0]), 34.0  # eye over the pivot; the lower eye's distance along the arm

    def damper(z):
        angle = np.arcsin(z / 60.0)
        return np.hypot(lower * np.cos(angle) - upper[0], lower * np.sin(angle) - upper[1])

    def ratio(z):
        angle = np.arcsin(z / 60.0)
        ahead, rise = lower * np.cos(angle) - upper[0], lower * np.sin(angle) - upper[1]
        by_angle = (ahead * -lower * np.sin(angle) + rise * lower * np.cos(angle)) / np.hypot(ahead, rise)
        return -by_angle / (60.0 * np.cos(angle))

    z = np.linspace(-8.0, 8.0, 17)[None, :]
    springs = Springs(
        reach=Reach(travel_mm=z, damper_mm=damper(z), ratio=ratio(z), roll_lever_mm=ratio(one(0.0)) * 75.0),
        rate_n_per_mm=one(0.6), free_mm=one(44.0), fitted_mm=one(36.0), damper_out_mm=one(56.0),
    )  # fmt: skip
    return springs, damper, ratio
