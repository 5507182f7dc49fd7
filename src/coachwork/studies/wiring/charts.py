"""Curves: the receiver's volts over the current drawn there, and each light string's current over its volts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.chart import Chart, Line
from coachwork.studies.parts import Missing, is_missing, need
from coachwork.studies.wiring.network import string_current_a
from coachwork.studies.wiring.result import LightFacts, Solved, WiringResult


def charts(result: WiringResult) -> Iterator[Chart]:
    """Of the first sample."""
    if not is_missing(result.solved):
        yield from _loads(need(result.solved), result)
    for name, part in result.lights.items():
        if isinstance(part, LightFacts):
            yield _string(name, part)


def _loads(solved: Solved, result: WiringResult) -> Iterator[Chart]:
    """Volts of each load, one state behind the other, so that what sags stands out."""
    names = [name for name in solved.cases["at rest, full pack"].loads_v if name != "motor"]
    x = np.arange(1.0, len(names) + 1)

    def line(name: str, case: str, variant: str) -> Line:
        y = np.array([float(solved.cases[case].loads_v[one].flat[0]) for one in names])
        return Line(name=name, variant=variant, x=x, y=y)  # type: ignore[arg-type]

    least = np.array([_limit(result, one) for one in names])
    yield Chart(
        id="wiring.volts",
        title="Volts at each load",
        x_label="load",
        y_label="volts (V)",
        lines=(
            line("at rest, full pack", "at rest, full pack", "as bought"),
            line("all on, low pack", "all on, low pack", "as bought"),
            line("servo held, low pack", "servo held, low pack", "as changed"),
            Line(name="needs at least", variant="reference", x=x, y=least),
        ),
        note="; ".join(f"{at} {name}" for at, name in enumerate(names, 1)),
    )


def _limit(result: WiringResult, name: str) -> float:
    facts = result.loads.get(name)
    if facts is None or isinstance(facts.least_v, Missing) or is_missing(facts.least_v):
        return float("nan")
    return float(need(facts.least_v).flat[0])


def _string(name: str, facts: LightFacts) -> Chart:
    supply = float(facts.plan.supply_v.flat[0])
    x = np.linspace(0.5 * supply, 1.15 * supply, 61)
    share = float(facts.plan.side_by_side.flat[0]) if facts.plan.one_resistor else 1.0

    def line(label: str, forward_v: float, variant: str) -> Line:
        current, _ = string_current_a(
            volts=x, leds=facts.plan.leds[:1], ohm=facts.resistor_ohm[:1] * share, forward_v=np.array([forward_v]),
            rated_a=facts.rated_a[:1],
        )  # fmt: skip
        return Line(name=label, variant=variant, x=x, y=1000 * current)  # type: ignore[arg-type]

    middle, apart = float(facts.forward_v.flat[0]), float(facts.matching_v.flat[0])
    rated = Line(name="may carry", variant="reference", x=x, y=np.full_like(x, 1000 * float(facts.rated_a.flat[0])))
    return Chart(
        id=f"wiring.lights.{name}",
        title=f"Current through each diode of {name}",
        x_label="volts that feed it (V)",
        y_label="current (mA)",
        lines=(
            line("as on the label", middle, "as changed"),
            line("lowest forward voltage", middle - apart, "as bought"),
            line("highest forward voltage", middle + apart, "as bought"),
            rated,
        ),
        note=f"It gets up to {supply:.2f} V.",
    )
