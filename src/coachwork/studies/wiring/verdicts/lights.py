"""Light strings: the resistor, the current through the worst diode, enough light, the resistor's heat."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

import numpy as np

from coachwork.catalogue.preferred import RESISTOR_POWER_W, next_of, preferred_at_least
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part, is_missing, need
from coachwork.studies.wiring.result import LightFacts, LightPlan, WiringResult
from coachwork.studies.wiring.verdicts.wording import amperes, volts
from coachwork.studies.wording import COMMON_PRACTICE, first

DIM = 0.4  # of the wanted current: half as bright to the eye, which goes with a power of about 0.5 (S. Stevens, 1957)
LOADED = 0.5  # of a resistor's rated power, for it is rated in free air


def findings(result: WiringResult) -> Iterator[Finding]:
    """Four questions for each string."""
    for name, facts in result.lights.items():
        place, planned = Place(part=f"lights {name}"), result.plans[name]
        yield _with_advice(
            judge(facts, partial(_current, place), id=f"wiring.lights.{name}.current",
                  question=f"Do the diodes of {name} live with their current?"),
            planned,
        )  # fmt: skip
        yield judge(
            facts, partial(_bright, place), id=f"wiring.lights.{name}.bright",
            question=f"Are the diodes of {name} bright enough on a low pack?",
        )  # fmt: skip
        yield judge(
            facts, partial(_resistor, place), id=f"wiring.lights.{name}.resistor-heat",
            question=f"Does the resistor of {name} stay cool?",
        )  # fmt: skip


def _with_advice(finding: Finding, planned: Part[LightPlan]) -> Finding:
    """Where the resistor is not told yet, which one to fit."""
    if finding.measured or is_missing(planned):
        return finding
    return replace(finding, do=_fit(need(planned)))


def _fit(planned: LightPlan) -> str:
    if planned.preferred_ohm is None:
        over = -first(planned.spare_v)
        return f"{volts(over)} are lacking: put fewer diodes in series, or feed them from a higher rail"
    which = "for all strings together" if planned.one_resistor else "for each string"
    return (
        f"fit {planned.preferred_ohm:g} ohm {which} (E12 of IEC 60063, next above {first(planned.wanted_ohm):.0f} ohm)"
    )


def _current(place: Place, facts: LightFacts) -> Told:
    planned = facts.plan
    over = first(facts.hottest_a) > first(facts.rated_a)
    shared = planned.one_resistor and first(planned.side_by_side) > 1
    do = None
    if over and shared:
        each = planned.wanted_ohm * planned.side_by_side
        do = (
            f"give each string a resistor of its own, of {preferred_at_least(first(each)):g} ohm (E12 of IEC 60063)"
            if first(each) > 0
            else _fit(planned)
        )
    elif over:
        do = _fit(planned)
    return {
        "value": 1000 * facts.hottest_a,
        "limit": 1000 * facts.rated_a,
        "tight_within": 50 * first(facts.rated_a),
        "unit": "mA",
        "why": f"at {volts(planned.supply_v)} the diode with the lowest forward voltage of its bag takes "
        f"{amperes(facts.hottest_a)}"
        + (", for strings on one resistor share by their voltages alone" if shared else "")
        + f"; wanted are {amperes(planned.wanted_a)}",
        "do": do,
        "where": place,
        "source": "the diode's leaflet",
    }


def _bright(place: Place, facts: LightFacts) -> Told:
    planned = facts.plan
    limit = 1000 * DIM * planned.wanted_a
    dim = first(facts.dimmest_a) * 1000 < first(limit)
    return {
        "value": 1000 * facts.dimmest_a,
        "limit": np.broadcast_to(limit, np.broadcast_shapes(limit.shape, facts.dimmest_a.shape)),
        "sense": "at least",
        "tight_within": 0.1 * first(limit),
        "unit": "mA",
        "why": f"at the lowest volts at which they are lit {amperes(facts.dimmest_a)} go through each; at "
        f"{amperes(planned.wanted_a * DIM)} they look about half as bright as you want",
        "do": _fit(planned) if dim else None,
        "where": place,
        "source": f"{COMMON_PRACTICE}; brightness goes about with the square root of light for a small source",
    }


def _resistor(place: Place, facts: LightFacts) -> Told:
    limit = LOADED * facts.power_w
    over = first(facts.resistor_w) > first(limit)
    return {
        "value": facts.resistor_w,
        "limit": limit,
        "tight_within": 0.1 * first(limit),
        "unit": "W",
        "why": f"{first(facts.resistor_ohm):.0f} ohm turn {1000 * first(facts.resistor_w):.0f} mW into heat; under a "
        f"shell half of the {first(facts.power_w):g} W that it stands in free air is enough",
        "do": f"fit one of {next_of(RESISTOR_POWER_W, first(facts.resistor_w) / LOADED):g} W, clear of the shell"
        if over
        else None,
        "where": place,
        "source": f"its rating; half of it is {COMMON_PRACTICE}",
    }
