"""Causes by their probability, what each predicts, and the next test."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.studies.power.guards import Guard
from coachwork.studies.power.why.seen import Seen
from coachwork.studies.power.why.signs import CAUSES, SIGNS, USUAL, Cause, chances
from coachwork.studies.power.why.simulated import (
    HEATS,
    LUMPS,
    Simulated,
    felt_chances,
    lump_degc,
    moment_weights,
    reading_chance,
    rest_v,
)

APART = 3.0  # how many times likelier than the second the first must be to count as told apart; our choice
SOFT = 0.85  # each sign's likelihood to this power: signs are not quite independent of each other; our judgement
NOT_FITTED = 0.4  # for a guard that the build does not speak of: it may have one all the same; our judgement
SPREADS_APART = 0.5  # of the two leaders' predictions, for a test to be worth its effort (total variation)
SPAN_V_CELL, SPAN_K = 1.2, 120.0  # spans of readings that are simply wrong
MEASURE = {"volts-after": 3.0, "controller": 1.5, "motor can": 1.5, "regulator": 3.0, "pack": 1.5}  # effort, minutes


@dataclass(frozen=True, kw_only=True)
class Predicted:
    """What a cause says of one observation.

    chance : of what was seen; of a reading, that it lies within a band of 0.1 V a cell or 20 K round it, about
    told   : what it expects, in words
    """

    what: str
    seen: str
    chance: float
    told: str


@dataclass(frozen=True, kw_only=True)
class Likely:
    """A cause, how likely it is, and what it predicts for each observation."""

    cause: Cause
    chance: float
    predicted: tuple[Predicted, ...]


@dataclass(frozen=True, kw_only=True)
class NextTest:
    """What to look at next. apart : how far the two leaders' predictions differ, 0 to 1; outcomes : for each leader"""

    what: str
    how: str
    effort: float
    apart: float
    outcomes: Mapping[str, tuple[float, float]]


@dataclass(frozen=True, kw_only=True)
class Answer:
    """Causes, likeliest first. told_apart : whether the first stands well before the second."""

    causes: tuple[Likely, ...]
    told_apart: bool
    test: NextTest | None

    @property
    def first(self) -> Likely:
        """The likeliest."""
        return self.causes[0]


def why(seen: Seen, sim: Simulated | None) -> Answer:
    """Rank the causes. sim : the drives; None while the build lacks the numbers for them: then only signs count."""
    back = ways_back(sim.setup.guards if sim else ())
    fitted = {guard.trip for guard in sim.setup.guards} if sim else set()
    logs: dict[Cause, float] = {}
    told: dict[Cause, tuple[Predicted, ...]] = {}
    for cause in CAUSES:
        weight = USUAL[cause]
        if sim and cause in ("motor heat", "idle time-out") and cause not in fitted:
            weight *= NOT_FITTED
        total = float(np.log(weight))
        if sim:
            total += float(np.log(moment_weights(sim, cause)[0] * sim.horizon_s))
        told[cause] = _predictions(seen, sim, cause, back)
        total += sum(SOFT * float(np.log(one.chance)) for one in told[cause])
        logs[cause] = total
    most = max(logs.values())
    share = {cause: float(np.exp(value - most)) for cause, value in logs.items()}
    whole = sum(share.values())
    ranked = sorted(CAUSES, key=lambda cause: -share[cause])
    causes = tuple(Likely(cause=c, chance=share[c] / whole, predicted=told[c]) for c in ranked)
    first, second = causes[0], causes[1]
    apart = first.chance >= APART * second.chance
    return Answer(causes=causes, told_apart=apart, test=_next_test(seen, sim, first.cause, second.cause, back))


def ways_back(guards: tuple[Guard, ...]) -> dict[Cause, str]:
    """How each protection against heat lets go in this build."""
    return {
        cause: guard.resets for guard in guards for cause in CAUSES
        if guard.trip == cause and cause in HEATS and guard.resets in ("off-on", "cooler")
    }  # fmt: skip


def _predictions(
    seen: Seen, sim: Simulated | None, cause: Cause, back: Mapping[Cause, str]
) -> tuple[Predicted, ...]:  # fmt: skip
    made = []
    for sign, outcome in seen.signs.items():
        expected = chances(sign, cause, back)
        likeliest = max(expected, key=lambda one: expected[one])
        told = f"{likeliest} ({expected[likeliest]:.0%})"
        made.append(Predicted(what=sign, seen=outcome, chance=expected[outcome], told=told))
    if sim is None:
        return tuple(made)
    weights = moment_weights(sim, cause)[1]
    cells = float(sim.setup.vehicle.pack.cells[0])
    if seen.after_v is not None:
        values, sigma = rest_v(sim, cause)
        span = SPAN_V_CELL * cells
        density = reading_chance(seen.after_v, values, sigma, weights, span=span)
        middle = float(np.sum(weights * values))
        made.append(
            Predicted(
                what="volts-after", seen=f"{seen.after_v.value:.2f} V", chance=density * 0.1 * cells,
                told=f"about {middle:.2f} V",
            )
        )  # fmt: skip
    for lump in LUMPS:
        if lump in seen.degc:
            values, spread = lump_degc(sim, lump, cause)
            density = reading_chance(seen.degc[lump], values, spread, weights, span=SPAN_K)
            made.append(
                Predicted(
                    what=lump, seen=f"{seen.degc[lump].value:.0f} degC", chance=density * 20.0,
                    told=f"about {float(np.sum(weights * values)):.0f} degC",
                )
            )  # fmt: skip
        elif lump in seen.felt:
            expected = felt_chances(*lump_degc(sim, lump, cause), weights)
            likeliest = max(expected, key=lambda one: expected[one])
            made.append(
                Predicted(
                    what=lump, seen=seen.felt[lump], chance=expected[seen.felt[lump]],
                    told=f"{likeliest} ({expected[likeliest]:.0%})",
                )
            )  # fmt: skip
    return tuple(made)


def _next_test(
    seen: Seen, sim: Simulated | None, first: Cause, second: Cause, back: Mapping[Cause, str]
) -> NextTest | None:
    """The cheapest test not yet made on whose outcome the two differ well; else the one on which they differ most."""
    tests = [
        _test(sign, SIGNS[sign].how, SIGNS[sign].effort, chances(sign, first, back), chances(sign, second, back))
        for sign in SIGNS
        if sign not in seen.signs
    ]
    if sim is not None:
        for lump in LUMPS:
            if lump in seen.felt or lump in seen.degc:
                continue
            one, other = (
                felt_chances(*lump_degc(sim, lump, cause), moment_weights(sim, cause)[1]) for cause in (first, second)
            )
            how = f"right after a stop, feel the {lump} with the back of a finger; 60 degC and more burn"
            tests.append(_test(lump, how, MEASURE[lump], one, other))
        if seen.after_v is None:
            one, other = (_volts(sim, cause) for cause in (first, second))
            how = "unplug the pack and read its volts by multimeter after a minute's rest"
            tests.append(_test("volts-after", how, MEASURE["volts-after"], one, other))
    if not tests:
        return None
    good = [test for test in tests if test.apart >= SPREADS_APART]
    return min(good, key=lambda test: test.effort) if good else max(tests, key=lambda test: test.apart)


def _test(what: str, how: str, effort: float, one: Mapping[str, float], other: Mapping[str, float]) -> NextTest:
    apart = 0.5 * sum(abs(one[outcome] - other[outcome]) for outcome in one)
    return NextTest(
        what=what, how=how, effort=effort, apart=apart,
        outcomes={outcome: (one[outcome], other[outcome]) for outcome in one},
    )  # fmt: skip


def _volts(sim: Simulated, cause: Cause) -> dict[str, float]:
    """Of a lasting reading: near the cut-off, or well above it."""
    values, sigma = rest_v(sim, cause)
    cut = next(guard.limit for guard in sim.setup.guards if guard.trip == "cell cut-off")
    edge = cut + sim.sag_v + 0.1 * sim.setup.vehicle.pack.cells
    weights = moment_weights(sim, cause)[1]
    near = float(np.sum(weights / (1 + np.exp(-1.7 * (edge - values) / sigma))))
    near = 0.95 * near + 0.025
    return {"near the cut-off": near, "well above it": 1 - near}
