"""The chance that each verdict holds, to first order in the spreads, and which numbers that chance hangs on.

Each number a study read is moved by one standard deviation up and down, all of them as samples of one run; half the
difference is its share of the doubt. Shares of independent numbers add as squares, and the margin is taken as normally
distributed (JCGM 100:2008, equation 10 and annex G). Good while a spread is small against the curvature of what is
computed; at an extreme of a curve it understates the doubt, and sampling will replace it there.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from coachwork.build import Build, Numbers
from coachwork.plan import Answer, Plan, Sampled
from coachwork.quantity import Measured
from coachwork.studies.finding import Finding, Lead, Verdict, margin_of

LEADS = 5  # how many of the numbers that matter most a verdict names


def verdicts_of(plan: Plan, build: Build, answer: Answer) -> tuple[Verdict, ...]:
    """The verdicts of one study's answer, with chances; weighed once and kept with the answer."""
    return plan.once(answer, "verdicts", lambda: _weigh(plan, build, answer))


def _weigh(plan: Plan, build: Build, answer: Answer) -> tuple[Verdict, ...]:
    spread = {key: held for key, held in answer.everything_read().items() if held is not None and held.half_width > 0}
    if not spread or not any(finding.measured for finding in answer.findings):
        return tuple(_verdict(answer.study.name, finding, {}, {}) for finding in answer.findings)
    moved = plan.run_sampled(build, answer.study.name, _up_and_down(spread))
    twins = {finding.id: finding for finding in moved.findings}
    return tuple(
        _verdict(answer.study.name, finding, spread, _slopes(finding, twins[finding.id], spread))
        for finding in answer.findings
    )


def _up_and_down(spread: Mapping[str, Measured]) -> Sampled:
    """Samples 2j and 2j + 1 move number j by one standard deviation up and down."""
    samples = 2 * len(spread)
    columns = {}
    for j, (key, held) in enumerate(spread.items()):
        column = np.full(samples, held.value)
        column[2 * j] += held.sigma
        column[2 * j + 1] -= held.sigma
        columns[key] = column
    return Sampled(samples=samples, columns=columns)


def _slopes(finding: Finding, moved: Finding, spread: Mapping[str, Measured]) -> dict[str, tuple[float, float]]:
    """{key: (change of the value, change of the limit) for one standard deviation}, those that change anything."""
    if finding.value is None or moved.value is None or moved.limit is None:
        return {}
    samples = 2 * len(spread)
    assert finding.limit is not None
    value = _half_differences(moved.value, float(finding.value[0]), samples)
    limit = _half_differences(moved.limit, float(finding.limit[0]), samples)
    return {key: (float(v), float(m)) for key, v, m in zip(spread, value, limit, strict=True) if v or m}


def _half_differences(array: Numbers, plain: float, samples: int) -> Numbers:
    """Half of up less down for each number; where one of the two does not exist, the other against the plain answer."""
    array = np.broadcast_to(array, samples)
    up, down = array[0::2] - plain, plain - array[1::2]
    up, down = np.where(np.isnan(up), down, up), np.where(np.isnan(down), up, down)
    return np.nan_to_num((up + down) / 2)


def _verdict(
    study: str, finding: Finding, spread: Mapping[str, Measured], slopes: Mapping[str, tuple[float, float]]
) -> Verdict:
    value = None if finding.value is None else float(finding.value[0])
    limit = None if finding.limit is None else float(finding.limit[0])
    chance = None
    leads: tuple[Lead, ...] = ()
    if value is not None and limit is not None:
        sign = -1.0 if finding.sense == "at most" or (finding.sense == "within" and value >= 0) else 1.0
        of_limit = -1.0 if finding.sense == "at least" else 1.0
        margin_slopes = {key: sign * v + of_limit * m for key, (v, m) in slopes.items()}
        variance = sum(slope**2 for slope in margin_slopes.values())
        chance = chance_of(value, limit, finding.sense, math.sqrt(variance))
        ranked = sorted(margin_slopes, key=lambda key: -abs(margin_slopes[key]))[:LEADS] if variance else []
        leads = tuple(
            Lead(key=key, share=margin_slopes[key] ** 2 / variance, gain=slopes[key][0] / spread[key].sigma)
            for key in ranked
        )
    return Verdict(
        id=finding.id, study=study, question=finding.question, value=value, limit=limit, sense=finding.sense,
        tight_within=finding.tight_within, unit=finding.unit, chance=chance, why=finding.why, do=finding.do,
        where=finding.where, source=finding.source, missing=finding.missing, leads=leads,
    )  # fmt: skip


def chance_of(value: float, limit: float, sense: str, sigma: float) -> float:
    """Chance that a normally distributed value keeps to its limit.

    >>> round(chance_of(1.0, 2.0, "at most", 1.0), 4)  # one standard deviation of room
    0.8413
    """
    if sigma == 0:
        return 1.0 if margin_of(value, limit, sense) >= 0 else 0.0  # type: ignore[arg-type]
    if sense == "within":
        return max(0.0, _phi((limit - value) / sigma) + _phi((limit + value) / sigma) - 1)
    return _phi((limit - value if sense == "at most" else value - limit) / sigma)


def _phi(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))
