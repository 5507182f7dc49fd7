"""The solver against circuits solved by hand, against conservation of energy, and where it must say no."""

from __future__ import annotations

from dataclasses import replace
from importlib import util
from pathlib import Path

import numpy as np
import pytest

from coachwork.errors import SolverGaveUp
from coachwork.studies.wiring import solve as solving
from coachwork.studies.wiring.network import GROUND
from coachwork.studies.wiring.solve import TOLERANCE_A, solve, with_loads

_SPEC = util.spec_from_file_location("wiring_conftest", Path(__file__).parent / "conftest.py")
by_hand = util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(by_hand)
NAN = float("nan")


def test_a_divider_of_three_resistances_by_hand():
    """6 V behind 1 ohm; 2 ohm to a node with 4 ohm to ground; 4 ohm more beyond 4 ohm: nodal analysis on paper.

    Node a: (6 - a)/1 = (a - b)/2;  node b: (a - b)/2 = b/4 + b/(4 + 4).  b = 0.5714 a, so 6 - a = 0.2143 a: a = 4.941.
    """
    network = by_hand.network_of(
        ["a", "b", "c"], branches=[(GROUND, 0, 1, 6), (0, 1, 2, 0), (1, GROUND, 4, 0), (1, 2, 4, 0), (2, GROUND, 4, 0)]
    )

    volts = solve(network).node_v[0]

    a = 6 / (1 + (1 - 4 / 7) / 2)
    assert volts == pytest.approx([a, 4 / 7 * a, 2 / 7 * a], rel=1e-7)


def test_a_tap_loads_the_lower_cell_alone_by_hand():
    """Two cells of 4 V and 0.1 ohm; 1 A from the tap, 2 A from the pack: 3 A through the lower cell, 2 A the upper."""
    network = by_hand.network_of(
        ["tap", "pack"], branches=[(GROUND, 0, 0.1, 4), (0, 1, 0.1, 4)], loads=[(0, 1, 0, 1), (1, 2, 0, 1)]
    )

    found = solve(network)

    assert found.node_v[0] == pytest.approx([4 - 0.3, 8 - 0.3 - 0.2], abs=1e-7)
    assert found.branch_a[0] == pytest.approx([3, 2], abs=1e-6)


def test_a_linear_regulator_by_hand():
    """8 V behind 0.1 ohm, 5 V behind 0.05 ohm, 2 A: the input gives 2 A and its own 10 mA; the rest is heat."""
    network = by_hand.network_of(
        ["pack", "rail"], branches=[(GROUND, 0, 0.1, 8)], regulators=[(0, 1, 5, 1, 0.05, 3, NAN, 0.01)],
        loads=[(1, 2, 0, 1)],
    )  # fmt: skip

    found = solve(network)

    assert found.node_v[0] == pytest.approx([8 - 0.201, 4.9], abs=1e-6)
    assert found.heat_w[0, 0] == pytest.approx(7.799 * 2.01 - 4.9 * 2, abs=1e-5)


def test_a_switching_regulator_by_hand():
    """Watts in are watts out over the efficiency: v i = 5 x 2 / 0.8 with v = 8 - 0.1 i, a quadratic in i."""
    network = by_hand.network_of(
        ["pack", "rail"], branches=[(GROUND, 0, 0.1, 8)], regulators=[(0, 1, 5, 1, 0.05, 3, 0.8, 0)],
        loads=[(1, 2, 0, 1)],
    )  # fmt: skip

    current = (8 - np.sqrt(64 - 4 * 0.1 * 12.5)) / 0.2
    assert solve(network).input_a[0, 0] == pytest.approx(current, rel=1e-7)


def test_drop_out_and_current_limit_by_hand():
    """Of 5.5 V in 0.9 V are lost, though 5 V are set; and a limit of 1 A on a bulb of 2 ohm leaves 2 V."""
    network = by_hand.network_of(
        ["pack", "rail", "limited"], branches=[(GROUND, 0, 1e-6, 5.5)],
        regulators=[(0, 1, 5, 0.9, 0.05, 3, NAN, 0), (0, 2, 5, 0.5, 0.05, 1, NAN, 0)],
        loads=[(1, 1, 0, 1), (2, 0, 0.5, 1)],
    )  # fmt: skip

    assert solve(network).node_v[0, 1:] == pytest.approx([4.6 - 0.05, 2.0], abs=1e-5)


def test_nothing_hangs_in_the_air():
    """What no source reaches has 0 V, and draws nothing."""
    network = by_hand.network_of(["pack", "lost"], branches=[(GROUND, 0, 0.1, 8)], loads=[(1, 1, 0, 2)])

    found = solve(network)

    assert found.node_v[0, 1] == pytest.approx(0, abs=1e-6)
    assert found.load_a[0, 0] == pytest.approx(0, abs=1e-6)


def test_a_regulator_is_loaded_in_one_step():
    """From no load on, as the search begins, all of this is straight: Newton's first step ends it, by hand as above.

    Were the regulator's slope at no load taken as none, the loads' node would have next to no slope at all.
    """
    network = by_hand.network_of(
        ["pack", "rail"], branches=[(GROUND, 0, 0.1, 8)], regulators=[(0, 1, 5, 1, 0.05, 3, NAN, 0.01)],
        loads=[(1, 2, 0, 1)],
    )  # fmt: skip

    volts, left, steps = solving._newton(network, solving._unloaded(network))

    assert steps == 1
    assert left[0] <= TOLERANCE_A
    assert volts[0] == pytest.approx([8 - 0.201, 4.9], abs=1e-6)


def random_network(rng, cases=4):
    """Cells, leads, regulators that meet, loads and strings, most of it overloaded."""
    nodes, branches, regulators, loads, strings = [], [], [], [], []

    def node():
        nodes.append(f"n{len(nodes)}")
        return len(nodes) - 1

    def lead(a, b, low, high, volts=0.0):
        branches.append((a, b, rng.uniform(low, high), volts))

    below = GROUND
    for _ in range(rng.integers(1, 5)):
        above = node()
        lead(below, above, 0.002, 0.05, rng.uniform(3, 4.2))
        below = above
    pack, controller, receiver = below, node(), node()
    lead(pack, controller, 0.001, 0.2)
    for _ in range(rng.integers(1, 4)):
        inlet, outlet = node(), node()
        lead(controller if rng.random() < 0.7 else pack, inlet, 0.001, 0.5)
        lead(outlet, receiver, 0.005, 0.3)
        efficiency = NAN if rng.random() < 0.5 else rng.uniform(0.7, 0.95)
        regulators.append((inlet, outlet, rng.uniform(4, 8), rng.uniform(0.1, 1.5), rng.uniform(0.01, 0.1),
                           rng.uniform(0.3, 5), efficiency, 0.01))  # fmt: skip
    for _ in range(rng.integers(3, 9)):
        end = node()
        lead(int(rng.integers(0, end)), end, 0.01, 1)
        if rng.random() < 0.6:
            loads.append((end, rng.uniform(0, 4), 0.1 if rng.random() < 0.2 else 0.0, 2.2))
        else:
            strings.append((end, rng.integers(1, 5), rng.integers(1, 4), rng.uniform(0, 300), rng.uniform(1.8, 3.3),
                            rng.uniform(0.005, 0.05)))  # fmt: skip
    network = by_hand.network_of(nodes, branches=branches, regulators=regulators, loads=loads, strings=strings)
    return with_loads(network, network.loads.steady_a * rng.uniform(0.2, 1.2, (cases, 1)))


def balance_w(network, found):
    """Watts of the cells less all that is turned into heat and light: (cases,), and the watts of the cells."""
    given = np.sum(network.branches.volts * found.branch_a, axis=1)
    lost = np.sum(network.branches.ohm * found.branch_a**2, axis=1) + np.sum(found.heat_w, axis=1)
    used = np.sum(found.load_a * found.load_v, axis=1) + np.sum(found.string_a * found.string_v, axis=1)
    leaked = np.sum(solving.LEAK_S * found.node_v**2, axis=1)
    return given - lost - used - leaked, given


@pytest.mark.parametrize("seed", range(60))
def test_random_overloaded_networks_settle_and_balance(seed):
    """B. Tellegen's theorem: in any network that keeps Kirchhoff's laws, the watts of all branches add up to none."""
    network = random_network(np.random.default_rng(seed))

    found = solve(network)

    assert np.max(found.residual_a) <= TOLERANCE_A
    off, given = balance_w(network, found)
    np.testing.assert_allclose(off, 0, atol=1e-6 * max(1.0, float(np.max(given))))


def test_some_of_them_need_to_be_switched_on():
    """Else the second method is never tried: of these seeds Newton's alone leaves some unsettled."""
    unsettled = 0
    for seed in range(150):
        network = random_network(np.random.default_rng(seed))
        _, left, _ = solving._newton(network, solving._unloaded(network))
        unsettled += bool((left > TOLERANCE_A).any())

    assert unsettled


def test_cases_do_not_see_each_other():
    """Many at once give what each gives alone."""
    network = random_network(np.random.default_rng(3), cases=5)
    together = solve(network).node_v

    for case in range(5):
        alone = solve(with_loads(network, network.loads.steady_a[case : case + 1])).node_v[0]
        np.testing.assert_allclose(together[case], alone, atol=1e-6)


def test_a_network_that_does_not_settle_is_an_error_with_its_residual(monkeypatch):
    """No number where there is none: with hardly any steps allowed an overloaded network cannot settle."""
    monkeypatch.setattr(solving, "ITERATIONS", 1)
    monkeypatch.setattr(solving, "CHARGING", 1)
    network = random_network(np.random.default_rng(0))

    with pytest.raises(SolverGaveUp, match="residual") as caught:
        solve(network)
    assert caught.value.residual > TOLERANCE_A


def test_slopes_are_those_of_the_currents():
    """Newton's matrix against differences of the currents, in every regime that random volts reach."""
    rng = np.random.default_rng(7)
    network = random_network(rng, cases=1)
    linear, constant = solving._linear(network)
    step = 1e-7
    for _ in range(20):
        volts = rng.uniform(-1, 9, (1, len(network.nodes)))
        _, slopes = solving._balance(network, linear, constant, volts)
        for k in range(len(network.nodes)):
            up, down = volts.copy(), volts.copy()
            up[0, k] += step
            down[0, k] -= step
            (high, _), (low, _) = (solving._balance(network, linear, constant, v) for v in (up, down))
            np.testing.assert_allclose(slopes[0, :, k], (high - low)[0] / (2 * step), rtol=1e-4, atol=1e-5)


def test_a_result_is_write_protected():
    found = solve(random_network(np.random.default_rng(1)))

    with pytest.raises(ValueError, match="read-only"):
        found.node_v[0, 0] = 1.0
    assert replace(found).node_v is not found.node_v
