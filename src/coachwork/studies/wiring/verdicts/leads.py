"""Leads: wire, plug, switch and fuse, each against what goes through it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

import numpy as np

from coachwork.build import Numbers
from coachwork.catalogue.preferred import FUSE_A, next_of
from coachwork.catalogue.wires import CHASSIS_SOURCE, METRIC_MM2, area_for_mm2
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import attempt, need_all
from coachwork.studies.supply import LeadFacts
from coachwork.studies.wiring.result import Case, Solved, WiringResult
from coachwork.studies.wiring.verdicts.wording import CAUTION, amperes, extreme, lasting
from coachwork.studies.wording import COMMON_PRACTICE, first

SPARE = 1.35  # a fuse is chosen so much above what flows, or it blows of age; common practice, no source


def findings(result: WiringResult) -> Iterator[Finding]:
    """One finding for each wire, plug and switch; fuses where a lead begins at the pack."""
    for name, lead in result.leads.items():
        place = Place(part=f"lead {name}")
        both = attempt(lambda part: need_all(result.solved, part), lead)
        yield judge(
            both, partial(_wire, name, place), id=f"wiring.lead.{name}.wire",
            question=f"Is the wire of {name} thick enough?",
        )  # fmt: skip
        inside = result.in_leads[name]
        for what, there in (("plug", inside.plug), ("switch", inside.switch)):
            if there:
                yield judge(
                    both, partial(_contact, name, what, place), id=f"wiring.lead.{name}.{what}",
                    question=f"Does the {what} of {name} carry its current?",
                )  # fmt: skip
        if inside.wants_fuse:
            yield judge(
                both, partial(_fuse, name, inside.begins, place), id=f"wiring.lead.{name}.fuse",
                question=f"Would a short in {name} be cut before its wire burns?",
            )  # fmt: skip


def _carried(name: str, cases: Mapping[str, Case]) -> tuple[Numbers, str]:
    return extreme(lasting(cases), lambda case: np.abs(case.leads_a[name]))


def _wire(name: str, place: Place, both: tuple[Solved, LeadFacts]) -> Told:
    solved, lead = both
    value, at = _carried(name, solved.cases)
    lost = value * lead.ohm
    wanted = _area_for(1.2 * first(value))
    return {
        "value": value,
        "limit": lead.wire_a,
        "tight_within": 0.1 * first(lead.wire_a),
        "unit": "A",
        "why": f"{amperes(value)} ({at}) through {first(lead.area_mm2):.2f} mm2; {first(lead.length_mm):.0f} mm of it "
        f"there and back, with its plugs, have {1000 * first(lead.ohm):.0f} mohm and take "
        f"{1000 * first(lost):.0f} mV off",
        "do": f"lay {wanted:g} mm2" if first(value) > first(lead.wire_a) else None,
        "where": place,
        "source": CHASSIS_SOURCE,
    }


def _area_for(current_a: float) -> float:
    try:
        return area_for_mm2(current_a)
    except ValueError:
        return METRIC_MM2[-1]


def _contact(name: str, what: str, place: Place, both: tuple[Solved, LeadFacts]) -> Told:
    solved, lead = both
    value, at = _carried(name, solved.cases)
    limit = lead.plug_a if what == "plug" else lead.switch_a
    assert limit is not None
    over = first(value) > first(limit)
    relieved = "; or let a small switch move the gate of an electronic one" if what == "switch" else ""
    return {
        "value": value,
        "limit": limit,
        "tight_within": 0.1 * first(limit),
        "unit": "A",
        "why": f"{amperes(value)} ({at}) go through it; past {amperes(limit)} its contacts warm up, "
        "and warm ones get worse",
        "do": f"fit one for {amperes(1.25 * first(value))} or more{relieved}" if over else None,
        "where": place,
        "source": f"its label, else what is usual for its style, {COMMON_PRACTICE}" if what == "plug" else "its label",
    }


def _fuse(name: str, begins: str, place: Place, both: tuple[Solved, LeadFacts]) -> Told:
    solved, lead = both
    carried, _ = extreme(solved.cases, lambda case: np.abs(case.leads_a[name]))
    rest = solved.cases["at rest, full pack"]
    short_a = rest.nodes_v.get(begins, rest.pack_v) / lead.ohm  # the last tap is the pack itself
    wanted = next_of(FUSE_A, SPARE * first(carried))
    value = lead.fuse_a if lead.fuse_a is not None else short_a
    fits = f"; it carries {amperes(carried)} at most"
    over = first(value) > first(lead.wire_a)
    why = (
        f"its fuse of {amperes(value)} blows before the wire, usually given {amperes(lead.wire_a)}, burns{fits}"
        if lead.fuse_a is not None and not over
        else f"a fuse of {amperes(value)} lets more through than the wire's usual {amperes(lead.wire_a)}{fits}"
        if lead.fuse_a is not None
        else f"nothing cuts it: a short at its far end draws up to {amperes(short_a)} through a wire usually given "
        f"{amperes(lead.wire_a)}{fits}"
    )
    thicker = "" if wanted <= first(lead.wire_a) else f", and lay {_area_for(wanted):g} mm2"
    return {
        "value": value,
        "limit": lead.wire_a,
        "unit": "A",
        "why": why,
        "do": f"put a fuse of {wanted:g} A within 50 mm of the pack{thicker}. {CAUTION}" if over else None,
        "where": place,
        "source": f"{CHASSIS_SOURCE}; fuses in the steps of ISO 8820-3",
    }
