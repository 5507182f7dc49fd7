"""Loads: volts enough, never too many, and the receiver awake when a servo is held."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

from coachwork.build import Numbers
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.wiring.netlist import MOTOR, RECEIVER
from coachwork.studies.wiring.result import Solved, WiringResult
from coachwork.studies.wiring.verdicts.wording import extreme, listed, volts
from coachwork.studies.wording import first

HELD = "servo held, low pack"


def findings(result: WiringResult) -> Iterator[Finding]:
    """The receiver always; the others where they have a table of their own."""
    loads = result.loads
    needs = {name: facts.least_v for name, facts in loads.items()}
    yield judge(
        result.solved, partial(_awake, needs),
        id="wiring.receiver.servo-held", question="Does the receiver stay awake when a servo is held fast?",
    )  # fmt: skip
    for name, facts in loads.items():
        if name == MOTOR:
            continue
        place = Place(part=name)
        yield judge(
            result.solved, partial(_enough, place, facts.least_v),
            id=f"wiring.load.{name}.enough", question=f"Are there volts enough at {name}?",
        )  # fmt: skip
        yield judge(
            result.solved, partial(_rail, place, facts.most_v),
            id=f"wiring.load.{name}.rail", question=f"Is the rail of {name} low enough for it?",
        )  # fmt: skip


def _enough(place: Place, least: Numbers, solved: Solved) -> Told:
    name = place.part
    cases = {key: case for key, case in solved.cases.items() if case.state != "servo held"}
    value, at = extreme(cases, lambda case: case.loads_v[name], least=True)
    rest = solved.cases["at rest, full pack"].loads_v[name]
    short = first(least) - first(value)
    return {
        "value": value,
        "limit": least,
        "sense": "at least",
        "tight_within": 0.1,
        "unit": "V",
        "why": f"{volts(value)} are left of {volts(rest)} ({at})",
        "do": f"win {volts(short)}: thicker or shorter wires on its way, a better plug, or a lead of its own"
        if short > 0
        else None,
        "where": place,
        "source": "its label",
    }


def _rail(place: Place, most: Numbers, solved: Solved) -> Told:
    name = place.part
    value, at = extreme(solved.cases, lambda case: case.loads_v[name])
    over = first(value) - first(most)
    return {
        "value": value,
        "limit": most,
        "tight_within": 0.1,
        "unit": "V",
        "why": f"it gets up to {volts(value)} ({at}) and stands {volts(most)}",
        "do": f"hang it on a rail of {volts(most)} or less: off the pack, onto the receiver or a regulator"
        if over > 0
        else None,
        "where": place,
        "source": "its label",
    }


def _awake(needs: Mapping[str, Numbers], solved: Solved) -> Told:
    case = solved.cases[HELD]
    value, least = case.loads_v[RECEIVER], needs[RECEIVER]
    low = [n for n, volts_ in needs.items() if n != MOTOR and first(case.loads_v[n]) < first(volts_)]
    short = first(least) - first(value)
    held = [
        name
        for name, amps in case.loads_a.items()
        if first(amps) > first(solved.cases["all on, low pack"].loads_a[name]) + 1e-3
    ]
    why = f"with {listed(held)} held fast" if held else "there is no servo yet,"
    why += f" and everything else on the receiver has {volts(value)} left"
    if low:
        why += f"; too few volts for {listed(low)}, which may stop or start anew"
    return {
        "value": value,
        "limit": least,
        "sense": "at least",
        "tight_within": 0.3,
        "unit": "V",
        "why": why,
        "do": f"win {volts(short)}: a regulator that gives the peak, thicker wires to the receiver, or a supply of its "
        "own for the servo; a capacitor helps for a tenth of a second only"
        if short > 0
        else None,
        "where": Place(part=RECEIVER),
        "source": "the receiver's leaflet",
    }
