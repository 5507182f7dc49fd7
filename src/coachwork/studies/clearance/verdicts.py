"""Numbers in, findings out: no geometry here."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.result import ClearanceResult, Closest, Contact, EndClearance
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.solids import Nearby
from coachwork.studies.wording import called, first, mm

SOURCE = "geometry: what overlaps, touches; [wanted] gap says what is tight"
MOST_NAMED = 3

_QUESTIONS = {
    "tyre-shell": "Do the {end} tyres clear the shell?",
    "tyre-parts": "Do the {end} tyres clear all that is beside them?",
    "rim-inside": "Do the {end} rims clear what is inside them?",
    "shaft": "Do the {end} drive shafts clear everything?",
    "damper": "Do the {end} dampers clear everything?",
    "links": "Do the {end} links clear everything?",
    "steering": "Does the {end} steering clear everything?",
    "anti-roll-bar": "Does the {end} anti-roll bar clear everything?",
    "parts": "Do the {end} parts that move clear everything?",
}


def findings(result: ClearanceResult) -> Iterator[Finding]:
    """One for each kind of moving thing at each end, and one for the shell over the boxes where it was scanned."""
    for end in (result.front, result.rear):
        yield from _of_end(end, result.gap_mm, result.no_scan)
    if result.underside is not None:
        yield judge(
            result.underside, partial(_told, "underside", gap_mm=result.gap_mm),
            id="clearance.underside", question="Does the shell clear the boxes and posts under it?",
        )  # fmt: skip

    if result.made_near is not None:
        yield judge(result.made_near, _made, id="clearance.made-shell",
                    question="Do the made parts stay clear of the shell?")  # fmt: skip


def _made(near: tuple[Nearby, ...]) -> Told:
    worst = near[0]
    name, others = called(worst.one), [each for each in near[1:] if each.apart_mm < 0]
    if worst.at_mm is None:
        why = f"no made part comes nearer to the shell than {mm(worst.apart_mm)}"
    elif worst.apart_mm < 0:
        why = f"the shell reaches {mm(-worst.apart_mm)} into the {name}"
    else:
        why = f"the {name} comes nearest to the shell"
    if others:
        why += f"; it also reaches into the {', the '.join(called(each.one) for each in others[:MOST_NAMED])}"
    return {
        "value": worst.apart_mm, "limit": 0.0, "sense": "at least", "tight_within": 0.0, "unit": "mm", "why": why,
        "do": (f"make the {name} {mm(-worst.apart_mm)} smaller there, or cut so much off the shell"
               if worst.apart_mm < 0 else None),
        "where": Place(part=worst.one, point_mm=worst.at_mm), "source": SOURCE,
    }  # fmt: skip


def _of_end(end: EndClearance, gap_mm: Array, no_scan: str) -> Iterator[Finding]:
    for name, part in end.closest.items():
        yield judge(
            part, partial(_told, name, gap_mm=gap_mm, no_scan=no_scan),
            id=f"clearance.{end.name}.{name}", question=_QUESTIONS[name].format(end=end.name),
        )  # fmt: skip


def _told(question: str, closest: Closest, gap_mm: Array, no_scan: str = "") -> Told:
    worst = closest.worst
    least = first(worst.distance_mm)
    x, y, z = (float(value) for value in np.round(worst.other_at_mm, 3))
    return {
        "value": closest.distance_mm,
        "limit": 0.0,
        "sense": "at least",
        "tight_within": first(gap_mm),
        "unit": "mm",
        "why": _why(worst) + _others(closest) + (_by_arches(no_scan) if question == "tyre-shell" else ""),
        "do": _do(question, worst, first(gap_mm) - least) if least < 0 else None,
        "where": Place(part=worst.other, point_mm=(x, y, z)),
        "source": SOURCE,
    }


def _why(worst: Contact) -> str:
    least = first(worst.distance_mm)
    pose = "" if worst.pose is None else f", {worst.pose}"
    if least >= 0:
        return f"the {worst.moving} comes nearest to the {worst.other}{pose}"
    return (
        f"the {worst.moving} and the {worst.other} overlap{pose}: the deepest point of the {worst.depth_of} would have "
        f"to move {mm(-least)} to come free"
    )


def _by_arches(no_scan: str) -> str:
    return f". By the arches as measured, for the scan is no help: {no_scan}" if no_scan else ""


def _others(closest: Closest) -> str:
    others = [one for one in closest.touching if one is not closest.worst]
    if not others:
        return ""
    named = "; ".join(f"{one.moving} and {one.other}, by {mm(-first(one.distance_mm))}" for one in others[:MOST_NAMED])
    more = f"; and {len(others) - MOST_NAMED} more" if len(others) > MOST_NAMED else ""
    return f". Overlapping too: {named}{more}"


def _do(question: str, worst: Contact, short_mm: float) -> str:
    by = mm(short_mm)
    if question == "tyre-shell":
        return f"take {by} off the {worst.other} there (coachwork trim draws the patch, and what else would do)"
    if question == "rim-inside":
        return f"take {by} off the {worst.other} there, or put a spacer or a rim with so much more room on the hub"
    return f"move the {worst.other} {by} away from the {worst.moving}, or take so much off it there"
