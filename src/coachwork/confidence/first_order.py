"""The chance that each verdict holds, to first order in the spreads, and which numbers that chance hangs on.

Each number a study read is moved by one standard deviation up and down, all of them as samples of one run; half the
difference is its share of the doubt. Shares of independent numbers add as squares (JCGM 100:2008, equation 10). The one
that weighs most keeps its own rectangle, the others together are taken as normally distributed (annex G), for a margin
that hangs on one number alone is anything but normal. Good while a spread is small against the curvature of what is
computed; at an extreme of a curve it understates the doubt, and sampling will replace it there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from functools import partial

import numpy as np

from coachwork.build import Build, Numbers
from coachwork.plan import Answer, Plan, Sampled
from coachwork.quantity import Measured
from coachwork.studies.finding import Finding, Lead, Sense, Verdict
from coachwork.studies.watch import UNWATCHED, Watch

LEADS = 5  # how many of the numbers that matter most a verdict names
NUDGE = 1e-3  # of a number: enough to show in what hangs on it, too little to change what that is
TOGETHER = 2 / 3  # of a study's numbers are those of others: then what they stand on is better run once for all of them


def verdicts_of(
    plan: Plan, build: Build, answers: Iterable[Answer], watch: Watch = UNWATCHED, *, nudged: tuple[str, ...] = ()
) -> tuple[dict[str, tuple[Verdict, ...]], Hanging]:
    """{study: the verdicts of its answer, with chances}; and which of some keys' numbers each of them hangs on at all.

    Weighed once and kept with the answer. Raises Cancelled.
    """
    by_name = {answer.study.name: answer for answer in answers}
    nudges = {name: _nudges(answer, nudged) for name, answer in by_name.items()}
    spreads = {name: plan.once(answer, "spread", partial(spread_of, answer)) for name, answer in by_name.items()}
    for names in _groups(plan, {name: {**nudges[name], **spreads[name]} for name in by_name}):
        if all(plan.has(by_name[name], what) for name in names for what in ("verdicts", _hangs(nudges[name]))):
            continue
        together = {key: held for name in names for key, held in spreads[name].items()}
        nudge = {key: held for name in names for key, held in nudges[name].items()}
        moved = plan.run_moved(build, names, _moving(together, nudge), watch, purpose=f"spreads with {names[0]}")
        for name in names:
            answer, its = by_name[name], moved[name]
            weigh = partial(_weighed, answer, its, together) if spreads[name] else partial(sure, answer)
            plan.once(answer, "verdicts", weigh)
            plan.once(answer, _hangs(nudges[name]), partial(_hanging, its, tuple(nudge), of=nudges[name]))
    hanging: dict[str, tuple[str, ...]] = {}
    for name, answer in by_name.items():
        if nudges[name]:
            hanging |= plan.once(answer, _hangs(nudges[name]), dict)
    return {name: plan.once(answer, "verdicts", partial(sure, answer)) for name, answer in by_name.items()}, hanging


Hanging = Mapping[str, tuple[str, ...]]  # {finding's id: keys}


def _nudges(answer: Answer, keys: tuple[str, ...]) -> dict[str, Measured]:
    """Those of some keys that an answer has read, with what they held."""
    read = answer.everything_read() if keys else {}
    return {key: held for key in keys if (held := read.get(key)) is not None}


def _hangs(nudges: Mapping[str, Measured]) -> str:
    return f"hangs on {', '.join(nudges)}"


def sure(answer: Answer) -> tuple[Verdict, ...]:
    """The verdicts of an answer that hangs on nothing that may be off."""
    return tuple(
        _verdict(answer.study.name, finding, {}, None if finding.bounded else {}) for finding in answer.findings
    )


def spread_of(answer: Answer) -> dict[str, Measured]:
    """The numbers an answer hangs on that may be off; none where nothing was answered."""
    if not any(finding.measured for finding in answer.findings):
        return {}
    read = answer.everything_read()
    return {key: held for key, held in read.items() if held is not None and held.half_width > 0}


def _groups(plan: Plan, spreads: Mapping[str, Mapping[str, Measured]]) -> list[list[str]]:
    """Studies that stand on the same others and hang on much the same numbers, to be moved as one."""
    groups: list[tuple[set[str], set[str], list[str]]] = []  # numbers, studies that are run, studies that are weighed
    for name in sorted((name for name in spreads if spreads[name]), key=lambda name: (-len(spreads[name]), name)):
        own, needed = spreads[name].keys(), {wiring.study.name for wiring in plan.needed([name])}
        for numbers, run, names in groups:
            if run & needed and len(numbers & own) >= TOGETHER * len(own):
                numbers.update(own)
                run.update(needed)
                names.append(name)
                break
        else:
            groups.append((set(own), needed, [name]))
    return [names for _, _, names in groups]


def _weighed(answer: Answer, moved: Answer, spread: Mapping[str, Measured]) -> tuple[Verdict, ...]:
    twins = {finding.id: finding for finding in moved.findings}
    return tuple(
        _verdict(answer.study.name, finding, spread, _slopes(finding, twins[finding.id], spread))
        for finding in answer.findings
    )


def _moving(spread: Mapping[str, Measured], nudge: Mapping[str, Measured]) -> Sampled:
    """Samples 2j and 2j + 1 move number j by one standard deviation up and down; then one for each number that is
    nudged; the last moves nothing.

    The last one is there because a study may look less finely at many samples than at one: only like is compared.
    """
    samples = 2 * len(spread) + len(nudge) + 1
    columns = {key: np.full(samples, held.value) for key, held in {**spread, **nudge}.items()}
    for j, (key, held) in enumerate(spread.items()):
        columns[key][2 * j] += held.sigma
        columns[key][2 * j + 1] -= held.sigma
    for j, (key, held) in enumerate(nudge.items()):
        columns[key][2 * len(spread) + j] += NUDGE * (abs(held.value) or 1.0)
    return Sampled(samples=samples, columns=columns)


def _hanging(moved: Answer, nudged: tuple[str, ...], *, of: Iterable[str]) -> Hanging:
    """{finding's id: those of the keys whose number moves its value or limit, or takes it away altogether}."""
    found = {}
    for finding in moved.findings:
        moves = np.zeros(len(nudged), dtype=bool)
        for array in (finding.value, finding.limit):
            if array is not None and np.size(array) > 1:
                some, unmoved = array[-1 - len(nudged) : -1], array[-1]
                moves |= ~np.isclose(some, unmoved, rtol=1e-9, atol=1e-12)
        found[finding.id] = tuple(key for key, moved_by in zip(nudged, moves, strict=True) if moved_by and key in of)
    return found


Slopes = dict[str, tuple[float, float]]


def _slopes(finding: Finding, moved: Finding, spread: Mapping[str, Measured]) -> Slopes | None:
    """{key: (change of the value, change of the limit) for one standard deviation}, those that change anything.

    None where no slope can be told: neither a bit more nor a bit less of some number leaves anything to ask about, or
    not all that there is was looked at.
    """
    if finding.value is None:
        return {}
    if moved.value is None or moved.limit is None or finding.bounded:
        return None
    value, limit = (_half_differences(array, len(spread)) for array in (moved.value, moved.limit))
    if np.isnan(value).any() or np.isnan(limit).any():
        return None
    return {key: (float(v), float(m)) for key, v, m in zip(spread, value, limit, strict=True) if v or m}


def _half_differences(array: Numbers, numbers: int) -> Numbers:
    """Half of up less down for each number; where one of the two does not exist, the other against the unmoved."""
    array = np.broadcast_to(array, max(np.size(array), 2 * numbers + 1))
    up, down = array[0 : 2 * numbers : 2] - array[-1], array[-1] - array[1 : 2 * numbers : 2]
    up, down = np.where(np.isnan(up), down, up), np.where(np.isnan(down), up, down)
    return np.asarray((up + down) / 2)


def _verdict(study: str, finding: Finding, spread: Mapping[str, Measured], slopes: Slopes | None) -> Verdict:
    value = None if finding.value is None else float(finding.value[0])
    limit = None if finding.limit is None else float(finding.limit[0])
    chance = None
    leads: tuple[Lead, ...] = ()
    if value is not None and limit is not None and slopes is not None:
        of_value, of_limit = (np.array([pair[i] for pair in slopes.values()]) for i in (0, 1))
        chance = chance_of(value, limit, finding.sense, of_value=of_value, of_limit=of_limit)
        sign = -1.0 if finding.sense == "at most" or (finding.sense == "within" and value >= 0) else 1.0
        margin_slopes = dict(
            zip(slopes, sign * of_value + (-1.0 if finding.sense == "at least" else 1.0) * of_limit, strict=True)
        )
        variance = float(sum(slope**2 for slope in margin_slopes.values()))
        ranked = sorted(margin_slopes, key=lambda key: -abs(margin_slopes[key]))[:LEADS] if variance else []
        leads = tuple(
            Lead(key=key, share=float(margin_slopes[key]) ** 2 / variance, gain=slopes[key][0] / spread[key].sigma)
            for key in ranked
        )
    return Verdict(
        id=finding.id, study=study, question=finding.question, value=value, limit=limit, sense=finding.sense,
        tight_within=finding.tight_within, unit=finding.unit, chance=chance, why=finding.why, do=finding.do,
        where=finding.where, source=finding.source, missing=finding.missing, leads=leads,
    )  # fmt: skip


def chance_of(value: float, limit: float, sense: Sense, *, of_value: Numbers, of_limit: Numbers) -> float:
    """Chance that a value keeps to its limit.

    of_value, of_limit : (numbers,), what one standard deviation of each number does to either

    >>> two = np.array([0.3, 0.0]), np.array([0.0, 0.4])  # one number moves the value, the other the limit
    >>> round(chance_of(1.0, 1.5, "at most", of_value=two[0], of_limit=two[1]), 3)  # 0.5 of room, a sigma of 0.5
    0.827
    """
    below = _chance_of_margin(limit - value, of_limit - of_value)
    above = _chance_of_margin(limit + value, of_limit + of_value)
    if sense == "at least":
        return _chance_of_margin(value - limit, of_value - of_limit)
    return below if sense == "at most" else max(0.0, below + above - 1.0)


def _chance_of_margin(margin: float, slopes: Numbers) -> float:
    """Chance that a margin is not negative: a rectangle (the largest share) and a normal distribution (the rest).

    The normal distribution's integral over the rectangle has the closed form sigma (z Phi(z) + phi(z)).

    >>> _chance_of_margin(0.5, np.array([1.0]))  # alone: (0.5 + sqrt 3) / (2 sqrt 3)
    0.6443375672974064
    """
    if not slopes.any():
        return 1.0 if margin >= 0 else 0.0
    sizes = np.sort(np.abs(slopes))
    half, rest = math.sqrt(3) * float(sizes[-1]), math.sqrt(float(np.sum(sizes[:-1] ** 2)))
    if rest <= 1e-9 * half:
        return min(1.0, max(0.0, (margin + half) / (2 * half)))

    def integral(room: float) -> float:
        z = room / rest
        return rest * (z * 0.5 * math.erfc(-z / math.sqrt(2)) + math.exp(-z * z / 2) / math.sqrt(2 * math.pi))

    return min(1.0, max(0.0, (integral(margin + half) - integral(margin - half)) / (2 * half)))
