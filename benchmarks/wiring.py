"""Networks a second: a general root finder on one case at a time against ours on all of them.

The case is the demonstration van's own network, its loads times random factors, so that every case
has other volts. The baseline is what one would write first: scipy's `root` on Kirchhoff's current law of one case, from
the unloaded volts, with the same currents and slopes. Both must find the same volts.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from scipy.optimize import root

from benchmarks.rows import Row, per_second
from coachwork.build import read
from coachwork.plan import Plan, discover
from coachwork.studies.parts import need
from coachwork.studies.wiring.network import Network
from coachwork.studies.wiring.solve import _balance, _linear, _unloaded, solve, with_loads
from coachwork.studies.wiring.states import CASES

VAN = Path(__file__).parents[1] / "examples" / "harbour-mail-van" / "as-finished"
CASES_AT_ONCE = 500


def network() -> Network:
    """The van's, everything on, on a low pack: one case of each load's current times 0.2 to 1.2."""
    plan = Plan(studies=tuple(study for study in discover() if study.name in ("driveline", "wiring")))
    solved = need(plan.run(read(VAN), only=["wiring"])["wiring"].result.solved)
    one = solved.network.of(np.array([CASES.index(("all on", "low"))], dtype=np.intp))
    factors = np.random.default_rng(1).uniform(0.2, 1.2, (CASES_AT_ONCE, one.loads.steady_a.shape[1]))
    return with_loads(one, one.loads.steady_a * factors)


def rows() -> Iterator[Row]:
    """One row: all cases."""
    whole = network()
    some = [whole.of(np.array([case], dtype=np.intp)) for case in range(20)]
    theirs = np.stack([rooted(one) for one in some])
    np.testing.assert_allclose(theirs, solve(whole).node_v[:20], atol=1e-6)
    yield Row(
        name=f"{len(whole.nodes)} nodes, {CASES_AT_ONCE} cases (cases)",
        per_second=per_second(lambda: solve(whole), things=CASES_AT_ONCE),
        baseline="root finder a case",
        baseline_per_second=per_second(lambda: [rooted(one) for one in some], things=len(some)),
    )


def rooted(one: Network) -> np.ndarray:
    """Node volts of one case by the general method."""
    linear, constant = _linear(one)

    def left(volts: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        unbalanced, slopes = _balance(one, linear, constant, volts[None])
        return unbalanced[0], slopes[0]

    return root(left, _unloaded(one)[0], jac=True, tol=1e-12).x
