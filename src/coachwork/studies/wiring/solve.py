"""Node voltages of a network: Newton's method on Kirchhoff's current law, all cases at once.

The elements are piecewise smooth, so a full step can overshoot from one piece to another and back; steps are halved
until the unbalanced currents no longer grow, and capped: where a regulator holds its current limit against loads that
draw the same at any voltage, the slope is next to nothing and a full step would leave the solar system.

Cases that do not settle so are switched on instead: every node gets a capacitor that the unbalanced current charges,
with time steps that grow as that current falls (pseudo-transient continuation; C. Kelley, D. Keyes, 1998, from memory).
So an overloaded network ends where the real one would. What does not settle then is an error, never a number.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Numbers
from coachwork.errors import SolverGaveUp
from coachwork.studies.alike import kinds_of
from coachwork.studies.result import Result
from coachwork.studies.wiring.network import GROUND, Flow, Network

TOLERANCE_A = 1e-9  # a hundred-millionth of the smallest load; rounding on 8 V over 1 mohm leaves 1e-12
LEAK_S = 1e-9  # from every node to ground, so that what hangs on nothing has 0 V: 8 nA at 8 V
ITERATIONS = 40
HALVINGS = 12
STEP_V = 2.0  # of the node that moves most; about what separates one rail of such a vehicle from the next
CHARGING = 1500  # time steps; 1 in 200 heavily overloaded random networks takes more than 400
FIRST_STEP_S = 0.02  # with 1 F at each node; far shorter than lead and capacitor take, so the start is followed closely
LONGER = 4.0  # times, at most, that a time step may be of the one before


@dataclass(frozen=True, kw_only=True, eq=False)
class Solution(Result):
    """Of every case.

    node_v       : (cases, nodes)
    branch_a     : (cases, branches), from beginning to end
    input_a, output_a, heat_w : (cases, regulators)
    load_a, load_v            : (cases, loads)
    string_a, string_v        : (cases, strings), current of all strings side by side; diode_a, through each diode
    residual_a   : (cases,), the largest current that is left over at a node
    """

    node_v: Numbers
    branch_a: Numbers
    input_a: Numbers
    output_a: Numbers
    heat_w: Numbers
    load_a: Numbers
    load_v: Numbers
    string_a: Numbers
    string_v: Numbers
    diode_a: Numbers
    residual_a: Numbers


def solve(network: Network) -> Solution:
    """Cases that are alike are solved once. Raises SolverGaveUp with the residual where a case does not settle."""
    firsts, whose = kinds_of(network.cases, network)
    if firsts.size == network.cases:
        return _solved(network)
    some = _solved(network.of(firsts))
    return Solution(**{name: array[whose] for name, array in vars(some).items()})


def _solved(network: Network) -> Solution:
    node_v, left, iterations = _newton(network, _unloaded(network))
    if (bad := left > TOLERANCE_A).any():
        hard = network.of(bad)
        charged, more = _charged(hard, _unloaded(hard))
        settled, left_over, last = _newton(hard, charged)
        iterations += more + last
        node_v[bad], left[bad] = settled, left_over
    if (left > TOLERANCE_A).any():
        raise SolverGaveUp(
            "node voltages of the wiring", residual=float(np.max(left)), iterations=iterations, start="nothing drawing"
        )
    return _read(network, node_v, left)


def _unloaded(network: Network) -> Numbers:
    """Every node at the volts of what feeds it, no load drawing: a start near the answer, (cases, nodes)."""
    branches, regulators = network.branches, network.regulators
    node_v = np.zeros((network.cases, len(network.nodes) + 1))  # the last column is ground
    for _ in network.nodes:
        before = node_v.copy()
        for j, (a, b) in enumerate(zip(branches.begins, branches.ends, strict=True)):
            node_v[:, b] = np.maximum(node_v[:, b], node_v[:, a] + branches.volts[:, j])
            node_v[:, a] = np.maximum(node_v[:, a], node_v[:, b] - branches.volts[:, j])
            node_v[:, GROUND] = 0.0
        for j, (a, b) in enumerate(zip(regulators.begins, regulators.ends, strict=True)):
            given = np.minimum(regulators.set_v[:, j], node_v[:, a] - regulators.drop_v[:, j])
            node_v[:, b] = np.maximum(node_v[:, b], given)
        if np.array_equal(before, node_v):
            break
    return node_v[:, :-1]


def _newton(network: Network, node_v: Numbers) -> tuple[Numbers, Numbers, int]:
    """Voltages, the largest unbalanced current of each case, iterations. Settled cases are left as they are."""
    linear, constant = _linear(network)
    node_v = node_v.copy()
    unbalanced, slopes = _balance(network, linear, constant, node_v)
    left = np.max(np.abs(unbalanced), axis=1, initial=0.0)
    for iteration in range(ITERATIONS):
        if not (left > TOLERANCE_A).any():
            return node_v, left, iteration
        step = -np.linalg.solve(slopes, unbalanced[..., None])[..., 0]
        step *= np.minimum(1.0, STEP_V / np.maximum(np.max(np.abs(step), axis=1, keepdims=True), 1e-300))
        share = np.where(left > TOLERANCE_A, 1.0, 0.0)
        norm = np.sqrt(np.sum(unbalanced**2, axis=1))
        trial = node_v + share[:, None] * step
        unbalanced, slopes = _balance(network, linear, constant, trial)
        for _ in range(HALVINGS):
            worse = (np.sqrt(np.sum(unbalanced**2, axis=1)) > norm * (1 + 1e-9)) & (share > 0)
            worse &= np.max(np.abs(unbalanced), axis=1, initial=0.0) > TOLERANCE_A
            if not worse.any():
                break
            share[worse] /= 2  # these alone are looked at again
            trial[worse] = node_v[worse] + share[worse, None] * step[worse]
            unbalanced[worse], slopes[worse] = _balance(
                network.of(worse), _of(linear, worse), _of(constant, worse), trial[worse]
            )
        node_v = trial
        left = np.max(np.abs(unbalanced), axis=1, initial=0.0)
    return node_v, left, ITERATIONS


def _of(array: Numbers, cases: NDArray[np.bool_]) -> Numbers:
    """Of some cases; one for all stays as it is."""
    return array if len(array) == 1 else array[cases]


def _charged(network: Network, node_v: Numbers) -> tuple[Numbers, int]:
    """Voltages after switching on, with a capacitor at every node, and the time steps that took."""
    linear, constant = _linear(network)
    node_v = node_v.copy()
    unbalanced, slopes = _balance(network, linear, constant, node_v)
    step_s = np.full(len(node_v), FIRST_STEP_S)
    capacitor = np.eye(node_v.shape[1])
    for count in range(CHARGING):
        left = np.max(np.abs(unbalanced), axis=1, initial=0.0)
        if not (left > TOLERANCE_A).any():
            return node_v, count
        move = -np.linalg.solve(slopes + capacitor / step_s[:, None, None], unbalanced[..., None])[..., 0]
        trial = np.where((left > TOLERANCE_A)[:, None], node_v + move, node_v)
        there, slopes_there = _balance(network, linear, constant, trial)
        before, after = (np.sqrt(np.sum(one**2, axis=1)) for one in (unbalanced, there))
        taken = (after <= 1.5 * before) | (step_s < 1e-6)
        node_v = np.where(taken[:, None], trial, node_v)
        unbalanced = np.where(taken[:, None], there, unbalanced)
        slopes = np.where(taken[:, None, None], slopes_there, slopes)
        longer = np.clip(before / np.maximum(after, 1e-300), 0.5, LONGER)
        step_s = np.where(taken, np.minimum(step_s * longer, 1e12), step_s / 4)
    return node_v, CHARGING


def _linear(network: Network) -> tuple[Numbers, Numbers]:
    """What branches and leaks give: matrix (cases or 1, nodes, nodes) and currents (cases or 1, nodes)."""
    branches, count = network.branches, len(network.nodes)
    shape = np.broadcast_shapes(branches.ohm.shape, branches.volts.shape)
    ohm, volts = np.broadcast_to(branches.ohm, shape), np.broadcast_to(branches.volts, shape)
    matrix, currents = np.zeros((shape[0], count, count)), np.zeros((shape[0], count))
    matrix[:, np.arange(count), np.arange(count)] = LEAK_S
    for j, (a, b) in enumerate(zip(branches.begins, branches.ends, strict=True)):
        siemens = 1 / ohm[:, j]
        for node, other, sign in ((a, b, 1.0), (b, a, -1.0)):
            if node == GROUND:
                continue
            matrix[:, node, node] += siemens
            currents[:, node] += sign * volts[:, j] * siemens
            if other != GROUND:
                matrix[:, node, other] -= siemens
    return matrix, currents


def _balance(network: Network, linear: Numbers, constant: Numbers, node_v: Numbers) -> tuple[Numbers, Numbers]:
    """Current that leaves each node, (cases, nodes), and its slopes, (cases, nodes, nodes)."""
    cases = len(node_v)
    leaving = np.einsum("cij,cj->ci", np.broadcast_to(linear, (cases, *linear.shape[1:])), node_v) + constant
    slopes = np.broadcast_to(linear, (cases, *linear.shape[1:])).copy()
    for part in (network.loads, network.strings):
        drawn, slope = part.draw(node_v[:, part.node])
        for j, node in enumerate(part.node):
            leaving[:, node] += drawn[:, j]
            slopes[:, node, node] += slope[:, j]
    flow = _flow(network, node_v)
    for j, (a, b) in enumerate(zip(network.regulators.begins, network.regulators.ends, strict=True)):
        leaving[:, a] += flow.input_a[:, j]
        slopes[:, a, a] += flow.input_by_input[:, j]
        slopes[:, a, b] += flow.input_by_output[:, j]
        leaving[:, b] -= flow.output_a[:, j]
        slopes[:, b, a] -= flow.output_by_input[:, j]
        slopes[:, b, b] -= flow.output_by_output[:, j]
    return leaving, slopes


def _flow(network: Network, node_v: Numbers) -> Flow:
    regulators = network.regulators
    return regulators.flow(node_v[:, regulators.begins], node_v[:, regulators.ends])


def _read(network: Network, node_v: Numbers, left: Numbers) -> Solution:
    regulators, loads, strings = network.regulators, network.loads, network.strings
    flow = _flow(network, node_v)
    heat = flow.input_a * node_v[:, regulators.begins] - flow.output_a * node_v[:, regulators.ends]
    load_v, string_v = node_v[:, loads.node], node_v[:, strings.node]
    return Solution(
        node_v=node_v,
        branch_a=network.branches.current_a(node_v),
        input_a=flow.input_a,
        output_a=flow.output_a,
        heat_w=heat,
        load_a=loads.draw(load_v)[0],
        load_v=load_v,
        string_a=strings.draw(string_v)[0],
        string_v=string_v,
        diode_a=strings.diode_a(string_v)[0] * strings.lit,
        residual_a=left,
    )


def with_loads(network: Network, steady_a: Numbers) -> Network:
    """The same network with other steady currents, (cases, loads): for whoever steps through time."""
    return replace(network, loads=replace(network.loads, steady_a=steady_a))
