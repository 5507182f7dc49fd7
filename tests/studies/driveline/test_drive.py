"""Top speed, ramp and run against closed forms and an integration in time."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coachwork.studies.driveline.drive import NEAR_TOP, run_up, widened
from coachwork.studies.driveline.road import gradient_for, gradient_of_grip, rolling_radius_mm


def one(number):
    return np.array([float(number)])


def free_of_losses(drive):
    """No rolling, air, grip limit, current limit, gear loss, no-load current: only motor and mass."""
    return replace(
        drive,
        motor=replace(drive.motor, no_load_a=one(0)),
        supply=replace(drive.supply, limit_a=one(1e6)),
        vehicle=replace(drive.vehicle, rolling=one(0), drag_mm2=one(0), grip=one(1e6)),
        efficiency=one(1),
    )


def test_speed_of_a_lossless_drive_is_no_load_speed_times_rollout(drive):
    """7.4 V x 60 / (2 pi 0.005) = 14133 rpm, 29.32 mm a turn: 6.907 m/s."""
    assert free_of_losses(drive).top_speed_mm_s()[0] == pytest.approx(14133.0 / 60 * 29.3215, rel=1e-4)


@pytest.mark.parametrize("gradient", [0.0, 0.1, 0.3])
def test_at_top_speed_pull_and_resistance_are_equal(drive, gradient):
    top = drive.top_speed_mm_s(gradient)

    assert top[0] > 0
    assert drive.motor_pull_n(top)[0] == pytest.approx(
        drive.vehicle.resistance_n(speed_mm_s=top, gradient=gradient)[0], rel=1e-9
    )


def test_too_steep_is_no_speed_at_all(drive):
    assert drive.top_speed_mm_s(2.0)[0] == 0
    weak = replace(drive, supply=replace(drive.supply, limit_a=one(1.5)))
    assert weak.top_speed_mm_s()[0] == 0
    assert math.isnan(run_up(weak, to_mm_s=one(4000)).time_s[0, -1])


def test_pull_at_standstill_by_hand(drive):
    """7.4 V / 0.2 ohm = 37 A; (37 - 1.2) A x 5 N mm/A = 179 N mm; x 7.5 x 0.85 / 35 mm = 32.60 N."""
    assert drive.standing_pull_n()[0] == pytest.approx(32.60, abs=0.01)
    assert drive.motor_pull_n(one(0))[0] == pytest.approx(32.60, abs=0.01)
    assert drive.pull_n(one(0))[0] == pytest.approx(0.9 * 2.5 * 9.80665)  # what the tyres let through


def test_the_ramp_of_a_pull_balances_on_it(drive):
    """On the ramp it gives, weight along the slope and rolling resistance add up to the pull."""
    slope = math.atan(gradient_for(drive.vehicle, force_n=one(10))[0])

    assert 2.5 * 9.80665 * (math.sin(slope) + 0.05 * math.cos(slope)) == pytest.approx(10, rel=1e-12)
    assert gradient_for(drive.vehicle, force_n=one(1))[0] == 0


def test_four_driven_wheels_hold_on_a_slope_of_their_friction(drive):
    """Coulomb: tan s = mu, less what rolling takes; on the rear wheels alone, mu times their share."""
    assert gradient_of_grip(drive.vehicle)[0] == pytest.approx(0.9 - 0.05)
    assert gradient_of_grip(replace(drive.vehicle, driven_share=one(0.6)))[0] == pytest.approx(0.9 * 0.6 - 0.05)


def test_the_run_of_a_lossless_drive_is_the_exponential(drive):
    """From m v' = A (1 - v / v0): v = v0 (1 - exp(-t / T)), T = m v0 / A; way = v0 (t - T (1 - exp(-t / T)))."""
    plain = free_of_losses(drive)
    run = run_up(plain, to_mm_s=one(1e6))  # so that it stops at 95 % of the top speed

    top, mass = plain.top_speed_mm_s()[0], run.moving_mass_g[0]
    constant = mass * 1e-6 * top / plain.standing_pull_n()[0]
    time = -constant * math.log(1 - NEAR_TOP)
    assert run.time_s[0, -1] == pytest.approx(time, rel=1e-3)
    assert run.way_mm[0, -1] == pytest.approx(top * (time - constant * NEAR_TOP), rel=1e-3)


def test_mass_that_turns_counts_by_hand(drive):
    """Rotor: 3000 g mm2 x (7.5 / 35 mm)^2 = 137.8 g; wheels: 5 % of 2500 g."""
    assert run_up(drive, to_mm_s=one(3000)).moving_mass_g[0] == pytest.approx(2500 + 125 + 137.8, abs=0.1)


def test_a_start_at_full_voltage_heats_the_winding_with_as_much_as_it_puts_into_motion(drive):
    """The textbook's result for a d.c. machine without friction, run up to its no-load speed: heat = kinetic energy,
    whatever the resistance. Up to a share s of that speed the heat is s (2 - s) / s^2 - 1 of the energy reached.
    """
    plain = free_of_losses(drive)
    plain = replace(plain, supply=replace(plain.supply, resistance_ohm=one(0)))
    for resistance in (0.05, 0.15, 0.5):
        case = replace(plain, motor=replace(plain.motor, resistance_ohm=one(resistance)))
        run = run_up(case, to_mm_s=one(1e6))
        share = (2 * NEAR_TOP - NEAR_TOP**2) / NEAR_TOP**2
        assert run.heat_j[0, -1] == pytest.approx(share * run.kinetic_j[0, -1], rel=2e-3)


def test_the_run_agrees_with_an_integration_in_time_with_grip_and_current_limits(drive):
    """Against scipy's solve_ivp on m v' = F(v), every force written out again here."""
    limited = replace(
        drive, supply=replace(drive.supply, limit_a=one(22)), vehicle=replace(drive.vehicle, grip=one(0.6))
    )
    run = run_up(limited, to_mm_s=one(5500))

    per_m = 7.5 / 0.035

    def rates(_, state):
        speed, _ = state
        amps = min((7.4 - 0.005 * speed * per_m) / 0.2, 22.0)
        pull = 0.005 * (amps - 1.2) * per_m * 0.85
        resists = 2.5 * 9.80665 * 0.05 + 0.5 * 1.2 * 0.024 * speed**2
        rotor_kg = 3e-6 * per_m**2 * 0.85
        gain = min((pull - resists) / (2.625 + rotor_kg), (0.6 * 2.5 * 9.80665 - resists) / 2.625)
        return [gain, speed]

    def there(_, state):
        return state[0] - run.speed_mm_s[0, -1] / 1000

    there.terminal = True
    end = solve_ivp(rates, (0, 60), [0.0, 0.0], events=there, rtol=1e-10, atol=1e-12, max_step=0.01)
    assert run.time_s[0, -1] == pytest.approx(end.t[-1], rel=1e-3)
    assert run.way_mm[0, -1] == pytest.approx(1000 * end.y[1, -1], rel=1e-3)


def test_energy_closes(drive):
    """What the motor takes = heat in it + gears + rolling and air + motion, at every speed of the run."""
    run = run_up(drive, to_mm_s=one(6000))

    spent = run.heat_j + run.gears_j + run.resistance_j + run.kinetic_j
    late = slice(40, None)  # of 400; before, a trapezoid's share of nearly nothing
    np.testing.assert_allclose(run.electrical_j[0, late], spent[0, late], rtol=5e-3)
    assert run.electrical_j[0, -1] == pytest.approx(spent[0, -1], rel=1e-3)


def test_samples_are_computed_as_if_alone(drive):
    both = replace(drive, efficiency=np.array([0.85, 0.6]))
    alone = replace(drive, efficiency=one(0.6))

    assert both.top_speed_mm_s()[1] == alone.top_speed_mm_s()[0]
    np.testing.assert_array_equal(run_up(both, to_mm_s=one(4000)).time_s[1], run_up(alone, to_mm_s=one(4000)).time_s[0])


def test_widening_reaches_every_number(drive):
    assert widened(drive).motor.constant_v_s.shape == (1, 1)
    assert widened(drive).vehicle.mass_g.shape == (1, 1)


def test_a_squashed_tyre_rolls_like_one_smaller_by_a_third_of_the_squash():
    assert rolling_radius_mm(diameter_mm=one(70), squash_mm=one(1.5))[0] == pytest.approx(34.5)
