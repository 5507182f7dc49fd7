"""Regulators: current, peak, input volts, heat."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import attempt, need, need_all
from coachwork.studies.wiring.result import RegulatorFacts, Solved, WiringResult
from coachwork.studies.wiring.verdicts.wording import amperes, extreme, lasting, volts
from coachwork.studies.wording import COMMON_PRACTICE, first


def findings(result: WiringResult) -> Iterator[Finding]:
    """Four questions for each that is used."""
    for name, facts in result.regulators.items():
        place = Place(part=f"regulator {name}")
        yield judge(
            attempt(lambda f: need_all(result.solved, f.continuous_a), facts), partial(_current, place),
            id=f"wiring.regulator.{name}.current", question=f"Can regulator {name} feed all that can be on together?",
        )  # fmt: skip
        yield judge(
            attempt(lambda f: need_all(result.solved, f.peak_a), facts), partial(_peak, place),
            id=f"wiring.regulator.{name}.servo-held", question=f"Does regulator {name} stand a servo held fast?",
        )  # fmt: skip
        yield judge(
            attempt(lambda: need(result.solved)), partial(_input, place, facts),
            id=f"wiring.regulator.{name}.input", question=f"Has regulator {name} volts enough to work from?",
        )  # fmt: skip
        yield judge(
            attempt(lambda: need(result.solved)), partial(_heat, place, facts),
            id=f"wiring.regulator.{name}.heat", question=f"Does regulator {name} stay cool enough in open air?",
        )  # fmt: skip


def _name(place: Place) -> str:
    return place.part.removeprefix("regulator ")


def _current(place: Place, both: tuple[Solved, Numbers]) -> Told:
    solved, limit = both
    name = _name(place)
    value, _ = extreme(lasting(solved.unlimited), lambda case: case.regulators[name].output_a)
    driving = solved.cases["driving, full pack"].regulators[name].output_a
    short = first(value) - first(limit)
    told = "the most that can be on together" if solved.exact else "too many states to look at all, so every device on"
    return {
        "value": value,
        "limit": limit,
        "tight_within": 0.1 * first(limit),
        "unit": "A",
        "why": f"{told} asks {amperes(value)} of it, {amperes(driving)} on average while driving; all there is would "
        f"ask {amperes(solved.sum_a)}, wherever it hangs",
        "do": f"take {amperes(short)} off it, or fit one for {amperes(1.25 * first(value))}" if short > 0 else None,
        "where": place,
        "source": "its label (radio.receiver.supply-limit where it has none of its own)",
    }


def _peak(place: Place, both: tuple[Solved, Numbers]) -> Told:
    solved, limit = both
    name = _name(place)
    value = solved.unlimited["servo held, low pack"].regulators[name].output_a
    rail = solved.cases["servo held, low pack"].regulators[name].output_v
    short = first(value) - first(limit)
    return {
        "value": value,
        "limit": limit,
        "tight_within": 0.1 * first(limit),
        "unit": "A",
        "why": f"with a servo held fast and everything else on {amperes(value)} are asked of it; past its limit it "
        f"lets the volts fall, here to {volts(rail)}",
        "do": f"fit one that gives {amperes(1.2 * first(value))} for a second, or free the linkage so that "
        "nothing is held"
        if short > 0
        else None,
        "where": place,
        "source": f"its label; where it tells no peak, half as much again, {COMMON_PRACTICE}",
    }


def _input(place: Place, facts: RegulatorFacts, solved: Solved) -> Told:
    name = _name(place)
    low = {key: case for key, case in solved.cases.items() if case.pack == "low"}
    value, at = extreme(low, lambda case: case.regulators[name].input_v, least=True)
    limit = facts.set_v + facts.drop_v
    short = first(limit) - first(value)
    return {
        "value": value,
        "limit": np.broadcast_to(limit, np.broadcast_shapes(limit.shape, value.shape)),
        "sense": "at least",
        "tight_within": 0.2,
        "unit": "V",
        "why": f"at least {volts(value)} come in ({at}); it needs its {volts(facts.set_v)} and {volts(facts.drop_v)} "
        "more, and under that its output sinks with its input",
        "do": f"use a pack of one cell more if everything takes it, a regulator of {volts(first(facts.set_v) - short)} "
        f"or less, or one that needs {volts(short)} less above its output"
        if short > 0
        else None,
        "where": place,
        "source": "its leaflet",
    }


def _heat(place: Place, facts: RegulatorFacts, solved: Solved) -> Told:
    name = _name(place)
    flow = solved.cases["driving, full pack"].regulators[name]
    limit = (facts.trips_degc - facts.air_degc) / facts.heat_k_per_w
    hot = facts.air_degc + flow.heat_w * facts.heat_k_per_w
    every = solved.cases["all on, full pack"].regulators[name].heat_w
    over = first(flow.heat_w) > first(limit)
    return {
        "value": flow.heat_w,
        "limit": limit,
        "tight_within": 0.15 * first(limit),
        "unit": "W",
        "why": f"while driving on a full pack it turns {first(flow.heat_w):.1f} W into heat"
        + (
            f", its {volts(flow.input_v - flow.output_v)} times {amperes(flow.output_a)}"
            if facts.kind == "linear"
            else ""
        )
        + f", and gets {first(hot):.0f} degC in open air of {first(facts.air_degc):.0f} degC; everything on would be "
        f"{first(every):.1f} W; under a closed shell the air itself gets hotter",
        "do": "feed lights and sound from a switching regulator of their own"
        + (
            f", or take {amperes(first(flow.output_a) * (1 - first(limit) / first(flow.heat_w)))} off it"
            if over
            else ""
        )
        if over
        else None,
        "where": place,
        "source": "where it shuts itself off, by its leaflet, over its thermal resistance",
    }
