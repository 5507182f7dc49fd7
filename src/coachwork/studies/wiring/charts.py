"""Curves: the receiver's volts over the current drawn there, and each light string's current over its volts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.errors import SolverGaveUp
from coachwork.studies.chart import Chart, Line
from coachwork.studies.parts import is_missing, need
from coachwork.studies.wiring.netlist import RECEIVER
from coachwork.studies.wiring.network import Network, string_current_a
from coachwork.studies.wiring.result import LightFacts, Solved, WiringResult
from coachwork.studies.wiring.solve import solve, with_loads
from coachwork.studies.wiring.states import CASES, Level

POINTS = 61


def charts(result: WiringResult) -> Iterator[Chart]:
    """Of the first sample."""
    if not is_missing(result.solved):
        yield from _receiver(need(result.solved), result)
    for name, part in result.lights.items():
        if isinstance(part, LightFacts):
            yield _string(name, part)


def _receiver(solved: Solved, result: WiringResult) -> Iterator[Chart]:
    """What is left at the receiver the more is drawn there, all else at rest: where its regulator gives in."""
    held = solved.unlimited["servo held, low pack"]
    most = (
        2.5 * max(0.5, *(float(flow.output_a.flat[0]) for flow in held.regulators.values())) if held.regulators else 1.0
    )
    x = np.linspace(0.0, most, POINTS)
    try:
        lines = [
            Line(name="full pack", variant="as changed", x=x, y=_swept(solved.network, "full", x)),
            Line(name="low pack", variant="reference", x=x, y=_swept(solved.network, "low", x)),
        ]
    except SolverGaveUp:  # the states themselves have settled; a curve into what never happens need not
        return
    least = float(result.loads[RECEIVER].least_v.flat[0])
    lines.append(Line(name="receiver needs", variant="reference", x=x, y=np.full_like(x, least)))
    now = float(sum(flow.output_a.flat[0] for flow in held.regulators.values()))
    yield Chart(
        id="wiring.receiver",
        title="Volts left at the receiver",
        x_label="current drawn there (A)",
        y_label="volts (V)",
        lines=tuple(lines),
        note=f"With a servo held fast and everything on {now:.2f} A are asked of the regulators.",
    )


def _swept(network: Network, level: Level, current_a: Numbers) -> Numbers:
    """Volts at the receiver, the motor driving, all other loads off."""
    samples = network.cases // len(CASES)
    row = CASES.index(("driving", level)) * samples
    one = network.of(np.array([row], dtype=np.intp))
    steady = np.zeros((len(current_a), len(one.loads.names)))
    receiver, motor = one.loads.names.index(RECEIVER), one.loads.names.index("motor")
    steady[:, receiver], steady[:, motor] = current_a, one.loads.steady_a[0, motor]
    return np.asarray(solve(with_loads(one, steady)).load_v[:, receiver])


def _string(name: str, facts: LightFacts) -> Chart:
    supply = float(facts.plan.supply_v.flat[0])
    x = np.linspace(0.5 * supply, 1.15 * supply, POINTS)
    share = float(facts.plan.side_by_side.flat[0]) if facts.plan.one_resistor else 1.0

    def current_ma(forward_v: float) -> Numbers:
        current, _ = string_current_a(
            volts=x, leds=facts.plan.leds[:1], ohm=facts.resistor_ohm[:1] * share, forward_v=np.array([forward_v]),
            rated_a=facts.rated_a[:1],
        )  # fmt: skip
        return 1000 * current

    middle, apart = float(facts.forward_v.flat[0]), float(facts.matching_v.flat[0])
    rated = np.full_like(x, 1000 * float(facts.rated_a.flat[0]))
    shared = " All strings share one resistor, and all are taken alike here." if share > 1 else ""
    return Chart(
        id=f"wiring.lights.{name}",
        title=f"Current through each diode of {name}",
        x_label="volts that feed it (V)",
        y_label="current (mA)",
        lines=(
            Line(name="its usual forward voltage", variant="as changed", x=x, y=current_ma(middle)),
            Line(name="lowest forward voltage of its bag", variant="reference", x=x, y=current_ma(middle - apart)),
            Line(name="highest", variant="reference", x=x, y=current_ma(middle + apart)),
            Line(name="may carry", variant="reference", x=x, y=rated),
        ),
        note=f"It gets up to {supply:.2f} V.{shared}",
    )
