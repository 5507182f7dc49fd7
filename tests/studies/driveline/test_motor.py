"""The machine against the relations every textbook of d.c. machines derives from V = I R + k w, T = k (I - I0)."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coachwork.studies.driveline.motor import (
    RUNAWAY_DEGC,
    at_voltage,
    no_load_rad_s,
    settled,
    stall_a,
    working_point,
)

VOLTS = np.array([7.2])


def characteristic(motor, points=20001):
    """The whole line from stall to no load at full voltage."""
    free = no_load_rad_s(motor, voltage_v=VOLTS)
    speed = np.linspace(0, free[0], points)
    return speed, at_voltage(motor, speed_rad_s=speed, voltage_v=VOLTS)


def test_stall_current_is_voltage_over_resistance(motor):
    point = at_voltage(motor, speed_rad_s=np.zeros(1), voltage_v=VOLTS)

    assert point.current_a[0] == pytest.approx(7.2 / 0.15)
    assert stall_a(motor, voltage_v=VOLTS)[0] == pytest.approx(point.current_a[0])
    assert point.mechanical_w[0] == 0
    assert point.efficiency[0] == 0


def test_without_load_the_no_load_current_flows_and_no_torque_is_left(motor):
    point = at_voltage(motor, speed_rad_s=no_load_rad_s(motor, voltage_v=VOLTS), voltage_v=VOLTS)

    assert point.current_a[0] == pytest.approx(1.2)
    assert point.torque_nmm[0] == pytest.approx(0, abs=1e-9)


def test_most_power_comes_at_half_the_no_load_speed(motor):
    speed, points = characteristic(motor)

    assert speed[np.argmax(points.mechanical_w)] == pytest.approx(speed[-1] / 2, rel=1e-3)
    quarter = motor.torque_constant_nmm_per_a[0] / 1000 * (48 - 1.2) * speed[-1] / 4  # stall torque x no-load speed / 4
    assert points.mechanical_w.max() == pytest.approx(quarter, rel=1e-6)


def test_efficiency_peaks_at_the_geometric_mean_of_no_load_and_stall_current(motor):
    """d/dI (V - I R)(I - I0) / (V I) = 0 gives I = sqrt(I0 V / R); the peak is (1 - sqrt(I0 / Is))^2."""
    _, points = characteristic(motor)
    best = np.argmax(points.efficiency)

    assert points.current_a[best] == pytest.approx(math.sqrt(1.2 * 48), rel=1e-2)
    assert points.efficiency[best] == pytest.approx((1 - math.sqrt(1.2 / 48)) ** 2, rel=1e-6)


def test_what_goes_in_comes_out_as_shaft_power_or_heat(motor):
    _, points = characteristic(motor, 50)

    np.testing.assert_allclose(points.electrical_w, points.mechanical_w + points.heat_w, rtol=1e-12)


def test_both_ways_to_a_working_point_agree(motor):
    there = at_voltage(motor, speed_rad_s=np.array([700.0]), voltage_v=VOLTS)
    back = working_point(motor, speed_rad_s=np.array([700.0]), torque_nmm=there.torque_nmm)

    assert back.voltage_v[0] == pytest.approx(7.2)
    assert back.current_a[0] == pytest.approx(there.current_a[0])


def test_a_controller_s_limit_holds_the_current_and_lowers_the_voltage(motor):
    point = at_voltage(motor, speed_rad_s=np.zeros(1), voltage_v=VOLTS, limit_a=20.0)

    assert point.current_a[0] == 20
    assert point.voltage_v[0] == pytest.approx(3.0)


def test_a_warm_winding_has_more_resistance(motor):
    """IEC 60028: annealed copper gains 0.393 % of its value at 20 degC for each kelvin."""
    warm = at_voltage(motor, speed_rad_s=np.zeros(1), voltage_v=VOLTS, winding_degc=120.0)

    assert warm.current_a[0] == pytest.approx(48 / 1.393)


def test_temperatures_settle_where_an_integration_over_hours_ends(motor):
    """Two lumps as differential equations, an independent way to the closed form."""
    square, friction = 60.0, 4.0

    def rates(_, degc):
        winding, case = degc
        copper = square * 0.15 * (1 + 0.00393 * (winding - 20))
        across = (winding - case) / 2.5
        return [(copper - across) / 10, (across + friction - (case - 30) / 5.0) / 65]

    end = solve_ivp(rates, (0, 40000), [30.0, 30.0], rtol=1e-9, method="LSODA").y[:, -1]
    warmth = settled(motor, mean_square_a2=np.array([square]), friction_w=np.array([friction]))

    assert warmth.winding_degc[0] == pytest.approx(end[0], rel=1e-5)
    assert warmth.case_degc[0] == pytest.approx(end[1], rel=1e-5)


def test_heat_that_outruns_its_cooling_is_told_as_a_runaway(motor):
    """Above 1 / (a R path) = 226 A^2 each kelvin adds more copper heat than leaves for it."""
    hot = settled(motor, mean_square_a2=np.array([230.0]), friction_w=np.array([0.0]))
    warm = settled(replace(motor, case_to_air_k_per_w=np.array([1.0])), mean_square_a2=np.array([230.0]),
                   friction_w=np.array([0.0]))  # fmt: skip

    assert hot.case_degc[0] == RUNAWAY_DEGC
    assert warm.case_degc[0] < RUNAWAY_DEGC
