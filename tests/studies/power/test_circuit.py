"""The circuit against the direct-current machine's textbook relations, and against energy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from power_case import Case

from coachwork.studies.power.circuit import switched
from coachwork.studies.power.demand import Demand, demand
from coachwork.studies.power.heat import AIR, NODES, REGULATOR

IDEAL = {"resistance_ohm": 1e-12, "lead_ohm": 1e-12, "on_ohm": 1e-12, "beat": 0.0, "idle_a": 0.0, "share": 0.5}


def at(case, motor_a, omega=1e9, rail_a=0.0, degc=25.0, slow_v=0.0):
    """The moment with a torque asked for at a speed: by default more than it can turn."""
    vehicle, n = case.vehicle(), case.samples
    want = Demand(
        motor_a=np.broadcast_to(motor_a, (n,)).astype(float), omega=np.broadcast_to(omega, (n,)).astype(float),
        braking=np.zeros(n, bool), rail_a=np.full(n, float(rail_a)), still=False,
    )  # fmt: skip
    on = np.ones(n, bool)
    circuit = switched(vehicle, want, motor_on=on, rail_on=on, controller_on=on)
    return vehicle, circuit.at(degc=np.full((n, NODES), degc), slow_v=np.full(n, slow_v), share=vehicle.pack.share)


def many(n, **changes):
    return Case().but(**IDEAL, **{"cells": np.full(n, 2.0), **changes})


def test_full_throttle_follows_the_line_from_no_load_speed_to_stall():
    """W = (V - I R) / k; no load at I0, stall at V / R (any textbook of electrical machines)."""
    volts, k, ohm = 2 * 3.84, 60 / (2 * np.pi * 1800), 0.1
    amps = np.array([1.2, 10.0, 38.0, 76.7])
    _, now = at(many(4), amps)

    reached = now.reach * 1e9
    assert reached == pytest.approx((volts - amps * ohm) / k, rel=1e-6)
    _, stalled = at(many(1), 500.0)
    assert stalled.driven_a[0] == pytest.approx(volts / ohm, rel=1e-6)
    assert stalled.reach[0] == 0


def test_most_shaft_power_at_half_the_no_load_speed():
    """Without friction, P = T w with a straight line between them peaks in the middle: V^2 / (4 R)."""
    amps = np.linspace(1, 76, 1501)
    _, now = at(many(amps.size, no_load_a=0.0), amps)
    best = int(np.argmax(now.shaft_w))

    volts, ohm, k = 2 * 3.84, 0.1, 60 / (2 * np.pi * 1800)
    assert now.shaft_w[best] == pytest.approx(volts**2 / (4 * ohm), rel=1e-4)
    assert now.reach[best] * 1e9 == pytest.approx(volts / k / 2, rel=1e-2)


def test_best_efficiency_at_the_geometric_mean_of_no_load_and_stall_current():
    """Eta = (1 - sqrt(I0 / Istall))^2 at I = sqrt(I0 Istall), with constant friction torque."""
    amps = np.linspace(1.3, 70, 2001)
    _, now = at(many(amps.size), amps)
    stall = 2 * 3.84 / 0.1
    efficiency = now.shaft_w / now.chemical_w
    best = int(np.argmax(efficiency))

    assert amps[best] == pytest.approx(np.sqrt(1.2 * stall), rel=0.01)
    assert efficiency[best] == pytest.approx((1 - np.sqrt(1.2 / stall)) ** 2, rel=1e-4)


def test_a_chopper_at_part_throttle_takes_less_current_than_the_motor():
    """The step-down chopper keeps its power: pack current = duty ratio times motor current."""
    k, ohm, volts = 60 / (2 * np.pi * 1800), 0.1, 2 * 3.84
    _, now = at(many(1), 20.0, omega=100.0)

    assert now.current_a[0] == pytest.approx(20.0 * (k * 100 + 20 * ohm) / volts, rel=1e-6)
    assert now.reach[0] == 1


def test_a_linear_regulator_burns_the_difference_and_a_switching_one_its_share():
    _, linear = at(many(1, own_ohm=0.0), 0.0, omega=0.0, rail_a=1.0)
    _, switching = at(many(1, linear=False, own_ohm=0.0), 0.0, omega=0.0, rail_a=1.0)

    assert linear.heat_w[0, 2] == pytest.approx(2 * 3.84 - 5.0)
    assert switching.heat_w[0, 2] == pytest.approx(5.0 * (1 / 0.85 - 1))
    assert switching.current_a[0] == pytest.approx(5.0 / 0.85 / (2 * 3.84))


def test_a_load_beyond_the_limit_sags_the_rail_in_proportion():
    """A limited current through what behaves as a resistor."""
    _, now = at(many(1, limit_a=2.0, own_ohm=0.0, rail_ohm=0.0), 0.0, omega=0.0, rail_a=3.0)
    assert now.rail_v[0] == pytest.approx(5.0 * 2 / 3)


def test_a_regulator_s_own_resistance_and_its_leads_take_volts_off_and_heat_what_they_are_in():
    """Ohm's law: 2 A through 40 and 60 mohm."""
    _, bare = at(many(1, own_ohm=0.0, rail_ohm=0.0), 0.0, omega=0.0, rail_a=2.0)
    _, now = at(many(1, own_ohm=0.04, rail_ohm=0.06), 0.0, omega=0.0, rail_a=2.0)

    assert bare.rail_v[0] - now.rail_v[0] == pytest.approx(2 * (0.04 + 0.06))
    assert now.heat_w[0, REGULATOR] - bare.heat_w[0, REGULATOR] == pytest.approx(2**2 * 0.04)
    assert bare.heat_w[0, AIR] - now.heat_w[0, AIR] == pytest.approx(2**2 * 0.04)  # the leads' heat is the air's


PARTS = {
    "motor_a": st.floats(0, 90), "omega": st.floats(0, 2000), "rail_a": st.floats(0, 4), "degc": st.floats(0, 120),
    "slow_v": st.floats(-0.05, 0.3), "linear": st.booleans(), "share": st.floats(0.05, 1),
    "resistance_ohm": st.floats(0.005, 0.1),
}  # fmt: skip


@given(**PARTS)
def test_no_energy_is_lost_at_any_moment(motor_a, omega, rail_a, degc, slow_v, **numbers):
    """What the pack gives up = shaft + heat of all lumps + what the slow pair stores (its heat is slow_v^2 / R1)."""
    case = Case().but(**numbers)
    vehicle, now = at(case, motor_a, omega, rail_a, degc, slow_v)

    stored = slow_v * now.current_a[0] - slow_v**2 / vehicle.pack.slow_ohm[0]
    if now.bus_v[0] > 5.0:  # below, an undervolted switching regulator asks for more than there is
        assert now.chemical_w[0] == pytest.approx(
            now.shaft_w[0] + now.heat_w[0].sum() + stored, rel=1e-6, abs=1e-6
        )  # fmt: skip
    assert now.bus_v[0] == pytest.approx(
        _source(vehicle, slow_v) - now.current_a[0]
        * (vehicle.pack.resistance_ohm[0] + vehicle.pack.lead_ohm[0]), abs=1e-6,
    )  # fmt: skip


def _source(vehicle, slow_v):
    from coachwork.studies.power.pack import cell_v

    return 2 * float(cell_v("lipo", vehicle.pack.share)[0]) - slow_v


def test_a_slope_asks_for_its_share_of_the_weight():
    """F = m g (c cos s + sin s), torque = F r / (ratio efficiency), current = torque / k + I0."""
    case = Case()
    want = demand(case.vehicle(), speed_m_s=0.5, gain_m_s2=0.0, gradient=0.2, rail_a=np.array([1.0]))
    slope = np.arctan(0.2)
    force = 2.75 * 9.80665 * (0.04 * np.cos(slope) + np.sin(slope))

    torque = force / (10 / 0.035) / 0.75
    assert want.motor_a[0] == pytest.approx(torque / (60 / (2 * np.pi * 1800)) + 1.2)
    assert not want.braking[0]


def test_rolling_down_the_motor_brakes_and_takes_nothing_from_the_pack():
    case = Case()
    want = demand(case.vehicle(), speed_m_s=0.8, gain_m_s2=0.0, gradient=-0.4, rail_a=np.array([0.0]))
    on = np.ones(1, bool)
    circuit = switched(case.but(idle_a=0.0).vehicle(), want, motor_on=on, rail_on=on, controller_on=on)
    now = circuit.at(degc=np.full((1, NODES), 25.0), slow_v=np.zeros(1), share=np.ones(1))

    assert want.braking[0]
    assert now.current_a[0] == 0
    assert now.heat_w[0].sum() == pytest.approx(-now.shaft_w[0])
