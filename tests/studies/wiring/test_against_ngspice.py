"""Node voltages against ngspice, an independent circuit simulator, on small circuits and on both vans' own."""

from __future__ import annotations

from importlib import util
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.plan import Plan, discover
from coachwork.studies.parts import need
from coachwork.studies.wiring.network import GROUND
from coachwork.studies.wiring.solve import solve
from coachwork.studies.wiring.states import CASES

HERE = Path(__file__).parent
NAN = float("nan")
# What ngspice itself leaves over at a node of ten elements; ours leaves 1 nA, on a few tenths of an ohm.
VOLTS = 2e-5


def sibling(name):
    """A module beside this one; tests are no package."""
    spec = util.spec_from_file_location(f"wiring_{name}", HERE / f"{name}.py")
    module = util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


ngspice, by_hand = sibling("ngspice"), sibling("conftest")
PACK = [(GROUND, 0, 0.01, 4.2), (0, 1, 0.01, 4.2)]  # two cells: nodes tap and pack

CIRCUITS = {
    "a lamp on a lead": {
        "nodes": ["tap", "pack", "lamp"], "branches": [*PACK, (1, 2, 0.3, 0)], "loads": [(2, 0.5, 0.02, 2)]
    },
    "a tapped pack": {
        "nodes": ["tap", "pack", "bell"], "branches": [*PACK, (0, 2, 0.2, 0)], "loads": [(2, 0.4, 0, 2), (1, 6.0, 0, 3)]
    },
    "a linear regulator": {
        "nodes": ["tap", "pack", "out", "load"], "branches": [*PACK, (2, 3, 0.1, 0)],
        "regulators": [(1, 2, 5.0, 1.1, 0.04, 3.0, NAN, 0.012)], "loads": [(3, 1.8, 0, 2)],
    },
    "a switching regulator": {
        "nodes": ["tap", "pack", "in", "out"], "branches": [*PACK, (1, 2, 0.15, 0)],
        "regulators": [(2, 3, 6.0, 0.6, 0.03, 5.0, 0.9, 0.01)], "loads": [(3, 2.4, 0, 2)],
    },
    "in drop-out": {
        "nodes": ["tap", "pack", "out"], "branches": [(GROUND, 0, 0.05, 3.0), (0, 1, 0.05, 3.0)],
        "regulators": [(1, 2, 6.0, 1.0, 0.03, 5.0, NAN, 0.01)], "loads": [(2, 1.0, 0, 2)],
    },
    "at its current limit": {
        "nodes": ["tap", "pack", "out"], "branches": PACK, "regulators": [(1, 2, 5.0, 1.0, 0.03, 1.5, NAN, 0.01)],
        "loads": [(2, 1.0, 0.3, 2.0)],
    },
    "two regulators that meet": {
        "nodes": ["tap", "pack", "one", "other", "rail"], "branches": [*PACK, (2, 4, 0.05, 0), (3, 4, 0.05, 0)],
        "regulators": [(1, 2, 5.0, 1.0, 0.04, 3.0, NAN, 0.01), (1, 3, 5.1, 0.5, 0.03, 5.0, 0.9, 0.01)],
        "loads": [(4, 2.2, 0, 2)],
    },
    "light strings": {
        "nodes": ["tap", "pack", "board"], "branches": [*PACK, (1, 2, 0.5, 0)],
        "strings": [(2, 4, 2, 150.0, 2.05, 0.02), (2, 1, 1, 330.0, 3.1, 0.02), (2, 3, 2, 600.0, 1.9, 0.02)],
    },
}  # fmt: skip


@pytest.mark.parametrize("name", CIRCUITS)
def test_a_small_circuit_has_the_volts_of_ngspice(name, tmp_path):
    network = by_hand.network_of(**CIRCUITS[name])

    ours = solve(network).node_v[0]

    np.testing.assert_allclose(ours, ngspice.node_volts(network, 0, tmp_path), rtol=0, atol=VOLTS)


@pytest.mark.parametrize("van", ["as-found", "as-finished"])
@pytest.mark.parametrize("at", range(len(CASES)), ids=[f"{state}, {level}" for state, level in CASES])
def test_both_vans_have_the_volts_of_ngspice_in_every_state(examples, van, at, tmp_path):
    plan = Plan(studies=tuple(study for study in discover() if study.name in ("driveline", "wiring")))
    solved = need(plan.run(read(examples / van), only=["wiring"])["wiring"].result.solved)

    state, level = CASES[at]
    ours = [float(v[0]) for v in solved.cases[f"{state}, {level} pack"].nodes_v.values()]

    np.testing.assert_allclose(ours, ngspice.node_volts(solved.network, at, tmp_path), rtol=0, atol=VOLTS)
