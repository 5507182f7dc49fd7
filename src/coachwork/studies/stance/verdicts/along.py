"""Findings along the vehicle: wheelbase, arches, shaft or belt."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part, is_missing
from coachwork.studies.stance.along import (
    ArchesApart,
    ArchPair,
    Belt,
    CentreShaft,
    ForeAft,
    InArch,
    Wheelbase,
    more_teeth,
)
from coachwork.studies.stance.result import EndStance, StanceResult
from coachwork.studies.stance.verdicts.places import at_wheel
from coachwork.studies.wording import COMMON_PRACTICE, first, mm

# A wheel a millimetre off the centre of its arch leaves gaps of 3 and 5 mm for two of 4: seen, but only just.
IN_ARCH_MM = 1.0
# One axle cannot stand right under two arches further apart than this, nor can readings of one distance differ more.
SQUARE_MM = 1.0
# A tyre that stands off by less rubs when the suspension moves it fore and aft, or picks a stone up.
FORE_AFT_MM = 1.5
TIGHT_MM = 0.3


def findings(result: StanceResult) -> Iterator[Finding]:
    """In the order a builder meets them."""
    yield judge(
        result.wheelbase, lambda one: _wheelbase(one, result), id="stance.wheelbase",
        question="Do the axles stand as far apart as the arches?",
    )  # fmt: skip
    yield judge(
        result.arches_apart, _apart, id="stance.arches-against-wheelbase",
        question="Do the arches' places agree with the shell's wheelbase?",
    )  # fmt: skip
    yield judge(
        _placed(result.ends["front"]), lambda one: _front(one, result), id="stance.front.axle-in-arch",
        question="Is the front axle in the middle of its arches?",
    )  # fmt: skip
    for end in result.ends.values():
        yield from _of_end(result, end)
    yield from _drive(result)


def _placed(front: EndStance) -> Part[InArch]:
    """Where the front axle stands in its arch, once there is an arch and a tyre; before, it would be a guess alone."""
    return front.fore_aft if is_missing(front.fore_aft) else front.in_arch


def _of_end(result: StanceResult, end: EndStance) -> Iterator[Finding]:
    yield judge(
        end.arches, lambda one: _square(one, end), id=f"stance.{end.name}.arches-square",
        question=f"Are the two {end.name} arches opposite each other?",
    )  # fmt: skip
    yield judge(
        end.fore_aft, lambda one: _fore_aft(one, result, end), id=f"stance.{end.name}.arch-fore-aft",
        question=f"Is there room before and behind the {end.name} tyres?",
    )  # fmt: skip


def _within(value: Numbers, limit: float, *, why: str, do: str | None, where: Place) -> Told:
    return {
        "value": value, "limit": limit, "sense": "within", "unit": "mm", "tight_within": TIGHT_MM,
        "source": COMMON_PRACTICE, "why": why, "do": do, "where": where,
    }  # fmt: skip


def _wheelbase(one: Wheelbase, result: StanceResult) -> Told:
    off, needed = first(one.off_mm), one.needed_stretch_mm
    stretch = f" {'stretched' if first(one.stretch_mm) > 0 else 'shortened'} by {mm(abs(first(one.stretch_mm)))}"
    why = (
        f"the donor's {mm(one.bought_mm)}{stretch if first(one.stretch_mm) else ''} make {mm(one.axles_mm)}, the "
        f"arches stand {mm(one.arches_mm)} apart"
    )
    do = None
    if abs(off) > IN_ARCH_MM:
        verb = "stretch" if first(needed) > 0 else "shorten"
        do = f"{verb} the wheelbase by {mm(abs(first(needed)))}: set stretch = {first(needed):z.1f} in [changes]"
        do += _with_it(needed, result)
    return _within(one.off_mm, IN_ARCH_MM, why=why, do=do, where=Place(part="chassis"))


def _with_it(stretch: Numbers, result: StanceResult) -> str:
    """What the drive needs with a new stretch."""
    drive = result.drive
    if isinstance(drive, CentreShaft):
        return f", with a centre shaft of {mm(drive.bought_mm + stretch)}"
    if isinstance(drive, Belt):
        teeth = first(drive.bought_teeth) + first(more_teeth(stretch_mm=stretch, pitch_mm=drive.pitch_mm))
        return f", with a belt of {teeth:.0f} teeth"
    return ""


def _square(one: ArchPair, end: EndStance) -> Told:
    off = first(one.off_mm)
    do = None
    if abs(off) > SQUARE_MM:
        do = (
            f"measure both again from the same point of the nose; if it stays, move the "
            f"{'left' if off > 0 else 'right'} arch {mm(abs(off))} forward, or each arch half of it"
        )
    return _within(
        one.off_mm, SQUARE_MM,
        why=f"left {mm(one.left_mm)} behind the nose, right {mm(one.right_mm)}; an axle is straight",
        do=do, where=Place(part=f"{end.name} arches"),
    )  # fmt: skip


def _apart(one: ArchesApart) -> Told:
    left, right = first(one.off_left_mm), first(one.off_right_mm)
    side, off = ("left", left) if abs(left) >= abs(right) else ("right", right)
    odd = "front" if abs(first(one.front.off_mm)) > abs(first(one.rear.off_mm)) else "rear"
    pair = one.front if odd == "front" else one.rear
    reading = pair.left_mm if side == "left" else pair.right_mm
    agrees = first(reading) + (off if odd == "front" else -off)
    why = (
        f"from the nose the left arches are {mm(one.rear.left_mm - one.front.left_mm)} apart, the right ones "
        f"{mm(one.rear.right_mm - one.front.right_mm)}, the wheelbase was measured as {mm(one.wheelbase_mm)}"
    )
    do = None
    if abs(off) > SQUARE_MM:
        do = f"measure the {odd} arch on the {side} again: {mm(agrees)} from the nose would agree"
        if min(abs(left), abs(right)) > SQUARE_MM and left * right > 0:
            base = first(one.wheelbase_mm) + (left + right) / 2
            do = f"measure the wheelbase again: {mm(base)} would agree with both sides"
    where = Place(part="wheel arches" if do is None else f"{odd} arch, {side}")
    return _within(one.off_mm, SQUARE_MM, why=why, do=do, where=where)


def _front(one: InArch, result: StanceResult) -> Told:
    off = first(one.off_mm)
    way, cure = ("ahead of", "forward") if off > 0 else ("behind", "back")
    return _within(
        one.off_mm, IN_ARCH_MM,
        why=f"the axle stands {mm(abs(off))} {way} the arch's centre" if mm(off) != mm(0.0) else "it is, to 0.1 mm",
        do=f"mount the body {mm(abs(off))} further {cure}" if abs(off) > IN_ARCH_MM else None,
        where=at_wheel(result, result.ends["front"], "front wheels"),
    )  # fmt: skip


def _fore_aft(one: ForeAft, result: StanceResult, end: EndStance) -> Told:
    gap, off = first(one.gap_mm), first(one.off_mm)
    side = "each side" if mm(off) == mm(0.0) else f"the {'front' if off > 0 else 'rear'} side"
    why = (
        f"an opening of {mm(one.opening_mm)} round a tyre of {mm(one.tyre_mm)}, the axle {mm(abs(off))} off centre, "
        f"leaves {mm(gap)} on {side}"
    )
    do = None
    if gap < FORE_AFT_MM:
        short = FORE_AFT_MM - gap
        centred = min(abs(off), short)
        do = f"centre the axle in its arch ({mm(abs(off))})" if centred >= 0.1 else ""
        if short - centred >= 0.1:
            more = f"open the arch by {mm(2 * (short - centred))}, or fit tyres {mm(2 * (short - centred))} smaller"
            do = f"{do}; then {more}" if do else more
    return {
        "value": one.gap_mm, "limit": np.full_like(one.gap_mm, FORE_AFT_MM), "sense": "at least", "unit": "mm",
        "tight_within": 0.5, "why": why, "do": do, "where": at_wheel(result, end, f"{end.name} wheel arches"),
        "source": f"{COMMON_PRACTICE}: 1.5 mm for dirt and play, straight ahead; steered tyres are another question",
    }  # fmt: skip


def _drive(result: StanceResult) -> Iterator[Finding]:
    kind = result.drive
    if isinstance(kind, CentreShaft):
        question = "Is the centre shaft long enough and short enough?"
        yield judge(kind, _shaft, id="stance.centre-shaft", question=question)
    elif isinstance(kind, Belt):
        yield judge(kind, _belt, id="stance.belt", question="Does the belt fit the wheelbase?")
        question = "Does the stretch come out in whole teeth of the belt?"
        yield judge(kind, _whole_teeth, id="stance.belt-whole-teeth", question=question)
    elif kind is not None:
        yield judge(kind, lambda _: {}, id="stance.drive", question="Does the drive reach from end to end?")


def _shaft(one: CentreShaft) -> Told:
    off, limit = first(one.off_mm), one.plunge_mm / 2
    why = (
        f"the shaft is {mm(one.length_mm)}, bought {mm(one.bought_mm)} and a stretch of {mm(one.stretch_mm)} ask for "
        f"{mm(one.needed_mm)}; it slides {mm(limit)} either way"
    )
    do = None
    if abs(off) > first(limit):
        do = f"make a centre shaft of {mm(one.needed_mm)}, {mm(abs(off))} {'shorter' if off > 0 else 'longer'}"
    return {
        "value": one.off_mm, "limit": limit, "sense": "within", "unit": "mm", "tight_within": TIGHT_MM, "why": why,
        "do": do, "where": Place(part="centre shaft"), "source": "half of the shaft's plunge, as measured",
    }  # fmt: skip


TAKE_UP = "half of the tensioner's take-up, as measured, taken to stand in the middle"


def _belt(one: Belt) -> Told:
    off, limit = first(one.off_mm), one.take_up_mm / 2
    why = (
        f"{first(one.teeth):.0f} teeth of {first(one.pitch_mm):g} mm suit a stretch of "
        f"{mm(one.stretch_mm - one.off_mm)}, {mm(one.stretch_mm)} is planned; "
        f"the tensioner makes up {mm(limit)} either way"
    )
    do = None
    if abs(off) > first(limit):
        do = f"fit a belt of {first(one.nearest_teeth):.0f} teeth, which leaves {mm(one.left_over_mm, sign=True)}"
        if abs(first(one.left_over_mm)) > first(limit):
            do += f"; {_stretches(one)}"
    return _of_belt(one.off_mm, limit, why=why, do=do)


def _whole_teeth(one: Belt) -> Told:
    limit, left = one.take_up_mm / 2, first(one.left_over_mm)
    per_tooth = first(one.pitch_mm) / 2
    why = (
        f"a tooth more is worth {per_tooth:g} mm of wheelbase; {first(one.nearest_teeth):.0f} teeth come nearest to a "
        f"stretch of {mm(one.stretch_mm)} and leave {mm(left, sign=True)} to the tensioner"
    )
    return _of_belt(one.left_over_mm, limit, why=why, do=_stretches(one) if abs(left) > first(limit) else None)


def _of_belt(value: Numbers, limit: Numbers, *, why: str, do: str | None) -> Told:
    return {
        "value": value, "limit": limit, "sense": "within", "unit": "mm", "tight_within": 0.1, "why": why, "do": do,
        "where": Place(part="belt"), "source": TAKE_UP,
    }  # fmt: skip


def _stretches(one: Belt) -> str:
    """The stretches that come out, in whole teeth and in even ones, which some sellers keep to."""
    below, above = one.even_stretches_mm()
    text = f"a stretch of {first(below):.2f} or {first(above):.2f} mm comes out in whole teeth"
    even_below, even_above = one.even_stretches_mm(even_teeth_only=True)
    return f"{text} (where only even numbers are sold: {first(even_below):.2f} or {first(even_above):.2f} mm)"
