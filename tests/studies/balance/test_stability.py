"""Tipping, pitching and leaning against statics by another route."""

import numpy as np
import pytest
from scipy.optimize import brentq

from coachwork.studies.balance.stability import Lean, speed_mm_s, stand, tips_at_g
from coachwork.studies.balance.weight import Weight


def weight(x=-135.0, y=0.0, z=51.0, mass=2500.0):
    return Weight(mass_g=np.array([mass]), cg_mm=np.array([[x, y, z]]), found_by="adding up its parts")


def test_the_static_stability_factor_is_nhtsas(level):
    """T / 2H with the mean track of both axles (49 CFR 575.105, from memory): 152 / (2 * 60)."""
    assert stand(weight(), level).static_stability_factor[0] == pytest.approx(152 / 120)


def test_it_falls_off_a_tilting_table_where_the_factor_says(level):
    """Another route: tilt the ground until gravity's line through the centre of gravity passes the lower wheels."""
    stood = stand(weight(x=-135.0, y=6.0), level)

    def inside(tilt):  # of the lower contact line, from the centre of gravity's line, left side down
        return (76.0 - 6.0) * np.cos(tilt) - 60.0 * np.sin(tilt)

    assert np.tan(brentq(inside, 0.1, 1.5)) == pytest.approx(stood.static_stability_factor[0])


def test_shares_are_the_levers(level):
    """By hand: 90 of 270 mm behind the front axle leaves a third of the weight on the rear one; 7.6 mm of 152 aside."""
    stood = stand(weight(x=-90.0, y=7.566666666666666), level)

    assert stood.front_share[0] == pytest.approx(2 / 3)
    assert stood.left_share[0] == pytest.approx(0.55)  # 75.667 mm half-track at the centre of gravity


def test_a_raised_tail_moves_weight_forward(level):
    """Exact by rotating the body: tail up by 10 over 270 turns the centre of gravity forward."""
    raised = stand(weight(), level, sunk_mm={"front": np.zeros(1), "rear": np.array([-10.0])})
    turn = np.arctan(10 / 270)
    # Contacts (0, -9) and (270, -19) in the chassis; the centre of gravity's foot on the line through them.
    along = np.array([np.cos(turn), -np.sin(turn)])
    foot = np.dot(np.array([135.0, 51.0]) - np.array([0.0, -9.0]), along)
    exact = foot / np.hypot(270, 10)

    assert 1 - raised.front_share[0] == pytest.approx(exact, abs=2e-3)
    assert raised.front_share[0] > 0.5


def test_braking_lifts_the_axle_with_the_longer_lever(level):
    """Deceleration a at which the rear load M g a_f / L - M a h / L is nought: a = x / h, here 120 / 60 g."""
    assert stand(weight(x=-120.0), level).pitch_factor[0] == pytest.approx(2.0)
    assert stand(weight(x=-160.0), level).pitch_factor[0] == pytest.approx(110 / 60)


def test_lean_is_where_moments_balance():
    """Springs' moment K phi against the weight's, solved with sine and cosine; small angles agree to 1 %."""
    lean = Lean(arm_mm=np.array([40.0]), sprung_n=np.array([20.0]), roll_rate_n_mm=np.array([9000.0]))

    def unbalanced(phi, g):
        return 9000.0 * phi - 20.0 * 40.0 * (np.sin(phi) + g * np.cos(phi))

    for g in (0.1, 0.3, 0.6):
        assert lean.rad_per_g[0] * g == pytest.approx(brentq(unbalanced, 0, 1, args=(g,)), rel=0.01)


def test_springs_too_soft_to_hold_it_upright_lean_without_end():
    lean = Lean(arm_mm=np.array([60.0]), sprung_n=np.array([25.0]), roll_rate_n_mm=np.array([1400.0]))

    assert np.isinf(lean.rad_per_g[0])


def test_lean_makes_it_tip_sooner_and_by_what_statics_says(level):
    stood = stand(weight(), level)
    lean = Lean(arm_mm=np.array([40.0]), sprung_n=np.array([20.0]), roll_rate_n_mm=np.array([9000.0]))

    def overturning(g):  # moment about the outer contact, of the whole and of the part that leaned out
        phi = lean.rad_per_g[0] * g
        return stood.weight.newton[0] * (g * stood.height_mm[0] - stood.half_track_mm[0]) + 20.0 * 40.0 * phi

    assert tips_at_g(stood, lean)[0] == pytest.approx(brentq(overturning, 0.1, 3))
    assert tips_at_g(stood, lean)[0] < tips_at_g(stood, None)[0] == stood.static_stability_factor[0]


def test_speed_in_a_turn_is_that_of_the_circle():
    """v^2 / r = g: 1 g on 9.80665 m is 9.80665 m/s."""
    assert speed_mm_s(g=np.array([1.0]), radius_mm=np.array([9806.65]))[0] == pytest.approx(9806.65)
