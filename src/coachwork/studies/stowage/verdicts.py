"""Findings on stowage: numbers in, words out."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.stowage.placed import Placed
from coachwork.studies.stowage.result import Air, Distance, Fit, InTheWay, Plugs, Run, Side, StowageResult
from coachwork.studies.stowage.words import clash_words, cure, extension_mm
from coachwork.studies.wording import COMMON_PRACTICE, called, first, mm

GEOMETRY = "geometry: two bodies cannot be in one place"
LITHIUM = "safety rule for lithium packs: away from heat and sharp edges, removable at once; common practice, no source"
AGAIN = "let coachwork stow look for places again"


def findings(result: StowageResult) -> Iterator[Finding]:
    """The same ids whatever the numbers are: by boxes, leads and faces."""
    yield judge(result.fit, _fit, id="stowage.fits", question="Does everything fit inside?")
    for name, air in result.air.items():
        yield judge(air, _air, id=f"stowage.{name}.air", question=f"Is the {called(name)} clear where it is?")
    for name, plugs in result.plugs.items():
        yield judge(
            plugs, _plugs, id=f"stowage.{name}.plugs", question=f"Is there room for the {called(name)}'s plugs?"
        )
    for name, run in result.leads.items():
        box, _, lead = name.partition(".")
        question = f"Does the {called(box)}'s lead {called(lead)} reach?"
        yield judge(run, _run, id=f"stowage.{box}.lead.{lead}", question=question)
    for name, way in result.reach.items():
        box, _, face = name.partition(".")
        question = f"Can the {called(box)}'s {face} be reached with the shell on?"
        yield judge(way, _reach, id=f"stowage.{box}.reach.{face}", question=question)
    for name, way in result.out.items():
        yield judge(way, _out, id=f"stowage.{name}.out", question=f"Does the {called(name)} come out downwards?")
    for name, apart in result.apart.items():
        one, _, two = name.partition(".")
        question = f"Is the {called(one)} far enough from the {called(two)}?"
        yield judge(apart, _apart, id=f"stowage.{one}.from.{two}", question=question)
    yield judge(result.side, _side, id="stowage.side", question="Do the boxes leave it level from side to side?")


def _fit(fit: Fit) -> Told:
    if fit.clash is not None:
        why, do = clash_words(fit.clash), cure(fit.clash, fit.step_mm)
    elif fit.broken:
        why = f"where the boxes are now, this is not so: {', '.join(called(name) for name in fit.broken)}"
        do = AGAIN
    else:
        why, do = "every box has its place, and every demand on it is met", None
    return {
        "value": fit.number,
        "limit": 0.0,
        "unit": "demands",
        "why": why,
        "do": do,
        "source": GEOMETRY,
    }


def _where(at: Placed) -> Place:
    x, y, z = (float(value) for value in at.middle[0])
    return Place(part=at.name, point_mm=(x, y, z))


def _air(air: Air) -> Told:
    least = first(air.least_mm)
    near = f"{called(air.to)} is nearest, with {mm(least)} between" if least >= 0 else (
        f"it overlaps {called(air.to)} by {mm(-least)}"
    )  # fmt: skip
    return {
        "value": air.least_mm,
        "limit": 0.0,
        "sense": "at least",
        "tight_within": 0.3,
        "unit": "mm",
        "why": f"the {called(air.at.name)}: {near}",
        "do": f"move it by {mm(-least)}, or {AGAIN}" if least < 0 else None,
        "where": _where(air.at),
        "source": GEOMETRY,
    }


def _plugs(plugs: Plugs) -> Told:
    spare = first(plugs.spare_mm)
    return {
        "value": plugs.spare_mm,
        "limit": 0.0,
        "sense": "at least",
        "unit": "mm",
        "why": f"the plug at {called(plugs.exit)} looks to the {plugs.looks_to}, where {called(plugs.to)} leaves "
        f"{mm(abs(spare))} {'more' if spare >= 0 else 'less'} than it asks",
        "do": f"move it {mm(-spare)} away from {called(plugs.to)}, or turn it" if spare < 0 else None,
        "where": _where(plugs.at),
        "source": "your own measure of the plug",
    }


def _run(run: Run) -> Told:
    needs, length = first(run.needs_mm), first(run.length_mm)
    rim = "" if run.along_rim_mm is None else f"; along the deck's rim it would take {run.along_rim_mm:.0f} mm"
    do = None
    if length < needs:
        do = f"buy an extension lead of {extension_mm(needs - length)} mm, or move the two {mm(needs - length)} nearer"
    elif run.along_rim_mm is not None and run.along_rim_mm > length:
        rim += f" and an extension of {extension_mm(run.along_rim_mm - length)} mm"
    return {
        "value": run.needs_mm,
        "limit": run.length_mm,
        "unit": "mm",
        "why": f"along, across and up, slack included, it is {needs:.0f} mm to the {called(run.to)}{rim}",
        "do": do,
        "where": Place(part=run.box, point_mm=tuple(float(v) for v in run.points_mm[0, 0])),  # type: ignore[arg-type]
        "source": "geometry: a lead is as long as it is",
    }


def _in_the_way(way: InTheWay, what: str) -> str:
    things = ", ".join(called(thing) for thing in way.things)
    return f"{things} {'is' if len(way.things) == 1 else 'are'} in the way" if things else f"{what} is free"


def _reach(way: InTheWay) -> Told:
    return {
        "value": way.number,
        "limit": 0.0,
        "unit": "in the way",
        "why": f"it looks to the {way.looks_to}: {_in_the_way(way, 'the way there')}",
        "do": f"turn it to an open side, or clear that way: {AGAIN}" if first(way.number) > 0 else None,
        "where": _where(way.at),
        "source": COMMON_PRACTICE,
    }


def _out(way: InTheWay) -> Told:
    return {
        "value": way.number,
        "limit": 0.0,
        "unit": "in the way",
        "why": _in_the_way(way, "the way down"),
        "do": f"move it clear, or what is in its way: {AGAIN}" if first(way.number) > 0 else None,
        "where": _where(way.at),
        "source": LITHIUM,
    }


def _apart(distance: Distance) -> Told:
    short = first(distance.asked_mm) - first(distance.apart_mm)
    reason = "heat spoils it" if distance.hot else "they were to keep apart"
    return {
        "value": distance.apart_mm,
        "limit": distance.asked_mm,
        "sense": "at least",
        "unit": "mm",
        "why": f"{reason}: {mm(distance.apart_mm)} of air lie between the two",
        "do": f"move them {mm(short)} further apart" if short > 0 else None,
        "where": Place(part=distance.one),
        "source": LITHIUM if distance.hot else "your own demand",
    }


def _side(side: Side) -> Told:
    off = first(side.off_mm)
    over = abs(off) - first(side.limit_mm)
    way = "left" if off >= 0 else "right"
    return {
        "value": side.off_mm,
        "limit": side.limit_mm,
        "sense": "within",
        "unit": "mm",
        "why": f"the boxes, {first(side.boxes_g):.0f} g together, pull the balance {mm(abs(off))} to the {way}",
        "do": f"move weight to the {'right' if off >= 0 else 'left'}, the {called(side.heaviest)} first"
        if over > 0 else None,
        "source": "your own limit in [stowing]; its usual value is common practice, no source",
    }  # fmt: skip
