"""Findings on makeability: numbers in, words out."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding, Told, judge
from coachwork.studies.makeability.result import Checked, MakeabilityResult
from coachwork.studies.makeability.verdicts.holes import driver, passes, places, seated, smallest
from coachwork.studies.makeability.verdicts.near import nearest
from coachwork.studies.makeability.verdicts.spots import edge, gap, screw_wall, wall
from coachwork.studies.makeability.verdicts.whole import (
    closed,
    order,
    out_of_reach,
    overhang,
    price,
    room,
    tip,
    trapped,
)
from coachwork.studies.parts import Blocked, Part, is_missing
from coachwork.studies.wording import called


def findings(result: MakeabilityResult) -> Iterator[Finding]:
    """Of parts that are made; those that are not are one finding together."""
    if not result.wanted:
        return
    yield judge(_made(result), _all_made, id="makeability.made", question="Are the parts made as the build asks now?")
    for name, wanted in result.wanted.items():
        for part in (wanted.spec, wanted.settings):
            if is_missing(part):
                yield judge(part, _never, id=f"makeability.{name}.drawn", question=f"Can the {called(name)} be drawn?")
                break
    for name, checked in result.checked.items():
        yield from _of_part(name, checked)
    for key, screw in result.screws.items():
        part, _, hole = key.partition(".")
        which = called(hole.removeprefix("holes.")).replace(".", " ")
        question = f"Does the {called(part)}'s screw {which} stay out of the boxes?"
        yield judge(screw, tip, id=f"makeability.{part}.screw.{hole}", question=question)
    if result.parts_near is not None:
        yield judge(result.parts_near, nearest, id="makeability.parts-apart",
                    question="Do the parts stay out of each other?")  # fmt: skip
    if result.boxes_near is not None:
        yield judge(result.boxes_near, nearest, id="makeability.boxes-apart",
                    question="Do the parts stay out of the boxes in their places?")  # fmt: skip
    if result.order is not None:
        question = "Can every screw be reached when its turn comes?"
        if isinstance(no := result.order, Blocked) and no.short is not None:
            yield judge(no.short, lambda _: out_of_reach(no), id="makeability.order", question=question)
        else:
            yield judge(result.order, order, id="makeability.order", question=question)
    if not result.unmade and result.checked:
        yield judge(result.price, price, id="makeability.price", question="Do the parts cost what they may?")


def _made(result: MakeabilityResult) -> Part[int]:
    if not result.unmade:
        return 0
    names = ", ".join(called(name) for name in result.unmade[:3]) + (" and others" if len(result.unmade) > 3 else "")
    return Blocked(f"not made yet, or changed since: {names}; run coachwork make, which draws and measures them")


def _all_made(_: int) -> Told:
    return {"value": 0.0, "limit": 0.0, "unit": "parts", "why": "every part stands made as the build asks now",
            "do": None, "source": "what is measured is only the part that was measured"}  # fmt: skip


def _never(_: object) -> Told:
    raise AssertionError("only asked of a part that is missing")


def _of_part(name: str, checked: Checked) -> Iterator[Finding]:
    it, rules = f"the {called(name)}", checked.process
    ask = f"makeability.{name}"
    yield judge(checked.wall, lambda s: wall(s, checked, it), id=f"{ask}.wall",
                question=f"Is {it} thick enough everywhere?")  # fmt: skip
    if checked.screw_wall is not None:
        yield judge(checked.screw_wall, lambda s: screw_wall(s, checked, it), id=f"{ask}.screw-wall",
                    question=f"Do screws find enough round them in {it}?")  # fmt: skip
    if checked.edge is not None:
        yield judge(checked.edge, lambda s: edge(s, checked, it), id=f"{ask}.edge",
                    question=f"Are {it}'s screw holes far enough from the edge?")  # fmt: skip
    if checked.places is not None:
        yield judge(checked.places, lambda s: places(s, checked, it), id=f"{ask}.holes",
                    question=f"Are {it}'s holes where they should be?")  # fmt: skip
    if checked.smallest_hole is not None:
        yield judge(checked.smallest_hole, lambda s: smallest(s, checked, it), id=f"{ask}.hole-size",
                    question=f"Do {it}'s holes come out open?")  # fmt: skip
    if checked.passes is not None:
        yield judge(checked.passes, lambda s: passes(s, checked, it), id=f"{ask}.screws-pass",
                    question=f"Do screws pass through {it}'s holes?")  # fmt: skip
    if checked.gap is not None:
        yield judge(checked.gap, lambda s: gap(s, checked, it), id=f"{ask}.gap",
                    question=f"Do {it}'s slots and gaps stay open?")  # fmt: skip
    if checked.driver is not None:
        yield judge(checked.driver, lambda s: driver(s, checked, it), id=f"{ask}.driver",
                    question=f"Does a driver reach {it}'s screws?")  # fmt: skip
    if checked.seat is not None:
        yield judge(checked.seat, lambda s: seated(s, checked, it), id=f"{ask}.seats",
                    question=f"Do bearings sit firmly in {it}?")  # fmt: skip
    yield judge(checked.room, lambda r: room(r, checked, it), id=f"{ask}.room",
                question=f"Does {it} fit into the printer?")  # fmt: skip
    if checked.solid.measured is not None:
        yield judge(checked.solid.measured.watertight, lambda v: closed(v, checked, it), id=f"{ask}.closed",
                    question=f"Is {it}'s mesh closed all round?")  # fmt: skip
    if rules.drains:
        yield judge(checked.trapped_cm3, lambda v: trapped(v, checked, it), id=f"{ask}.trapped",
                    question=f"Can powder or resin get out of {it}?")  # fmt: skip
    if rules.overhang_mm2 is not None:
        yield judge(checked.overhang_mm2, lambda v: overhang(v, checked, it), id=f"{ask}.overhang",
                    question=f"Can {it} be printed with little support?")  # fmt: skip
