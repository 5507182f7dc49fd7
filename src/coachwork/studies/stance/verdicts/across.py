"""Findings across the vehicle: tyres against arch lips, track against the prototype's."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.finding import Finding, Told, judge
from coachwork.studies.likeness.eye import LENGTH_SOURCE, visible_mm
from coachwork.studies.stance.across import AtScale, Seat, Tuck
from coachwork.studies.stance.donors import WHEELS_REACH_MM
from coachwork.studies.stance.result import EndStance, StanceResult
from coachwork.studies.stance.verdicts.places import at_wheel
from coachwork.studies.wording import COMMON_PRACTICE, first, mm, one_to

# Either side of the tuck that is wanted; a millimetre at 1:10 is a centimetre at the kerb, which is about what is seen.
TUCK_MM = 1.0
TIGHT_MM = 0.3
SIGN_MATTERS_MM = 0.5  # of inset; below this the other sign changes nothing worth asking about


def findings(result: StanceResult) -> Iterator[Finding]:
    """Each end: too far out, too far in, and the track as it looks."""
    for end in result.ends.values():
        yield from _of_end(result, end)


def _of_end(result: StanceResult, end: EndStance) -> Iterator[Finding]:
    yield judge(
        end.tuck, lambda one: _sticks_out(one, result, end), id=f"stance.{end.name}.tyre-sticks-out",
        question=f"Do the {end.name} tyres stay inside the arches?",
    )  # fmt: skip
    yield judge(
        end.tuck, lambda one: _too_deep(one, result, end), id=f"stance.{end.name}.tyre-too-deep",
        question=f"Do the {end.name} tyres fill the arches?",
    )  # fmt: skip
    yield judge(
        end.track, lambda one: _track(one, result, end), id=f"stance.{end.name}.track",
        question=f"Does the {end.name} track look like the full-size vehicle's?",
    )  # fmt: skip


def _sticks_out(one: Tuck, result: StanceResult, end: EndStance) -> Told:
    limit = np.broadcast_to(one.wanted_mm - TUCK_MM, one.tuck_mm.shape)
    wrong = first(one.tuck_mm) < first(limit)
    return _of_tuck(one, result, end) | {
        "limit": limit,
        "sense": "at least",
        "do": _cure(one, result, end) if wrong else None,
    }


def _too_deep(one: Tuck, result: StanceResult, end: EndStance) -> Told:
    limit = np.broadcast_to(one.wanted_mm + TUCK_MM, one.tuck_mm.shape)
    wrong = first(one.tuck_mm) > first(limit)
    return _of_tuck(one, result, end) | {
        "limit": limit,
        "sense": "at most",
        "do": _cure(one, result, end) if wrong else None,
    }


def _of_tuck(one: Tuck, result: StanceResult, end: EndStance) -> Told:
    seat, tuck = one.seat, first(one.tuck_mm)
    side = "inside" if tuck >= 0 else "outside"
    spacer = f" + spacer {mm(seat.spacer_mm)}" if first(seat.spacer_mm) else ""
    bolted = f"hub face {mm(seat.hub_face_mm)}{spacer}, inset {mm(seat.inset_mm, sign=True)}"
    return {
        "value": one.tuck_mm, "unit": "mm", "tight_within": TIGHT_MM,
        "why": f"wheels {end.wheel}: {bolted}, half a tyre {mm(one.tyre_width_mm / 2)}: the tyre ends {mm(abs(tuck))} "
               f"{side} the lip at {mm(one.lip_mm)}",
        "where": at_wheel(result, end, f"{end.name} tyres"),
        "source": f"{COMMON_PRACTICE}: 1 mm either side of the tuck wanted",
    }  # fmt: skip


def _cure(one: Tuck, result: StanceResult, end: EndStance) -> str:
    """What moves a wheel by the amount, the easy ways first; arms where wheels and spacers do not reach."""
    outward, inset = first(one.outward_mm), first(one.seat.inset_mm)
    by = abs(outward)
    new_inset = f"inset {mm(inset - outward, sign=True)} instead of {mm(inset, sign=True)}"
    arms = f"arms {mm(by)} {'longer' if outward > 0 else 'shorter'}, with shafts, camber links and tie-rods to match"
    ways = [new_inset, f"a spacer of {mm(by)} more"] if outward > 0 else [new_inset]
    if first(one.seat.spacer_mm) >= by and outward < 0:
        ways.append(f"a spacer of {mm(by)} less")
    ways = [arms, *ways] if by > WHEELS_REACH_MM else [*ways, arms]
    text = f"move each wheel {mm(by)} {'out' if outward > 0 else 'in'}: {', or '.join(ways)}"
    doubt = _sign_doubt(one, result, end)
    return (
        f"{doubt}; measure the backspace, which has no sign to mistake. If the sign is right, {text}" if doubt else text
    )


def _sign_doubt(one: Tuck, result: StanceResult, end: EndStance) -> str | None:
    """Two signs of an inset read the wrong way: the other one would do, or the other end has the same one reversed."""
    inset = first(one.seat.inset_mm)
    if not one.seat.inset_given or abs(inset) <= SIGN_MATTERS_MM:
        return None
    if abs(first(one.tuck_flipped_mm) - first(one.wanted_mm)) <= TUCK_MM:
        return f"is the inset's sign the seller's? With {mm(-inset, sign=True)} the wheel would stand right"
    other = next(each for name, each in result.ends.items() if name != end.name)
    if isinstance(other.seat, Seat):
        opposite = first(other.seat.inset_mm)
        by = "" if other.seat.inset_given else " by their backspace"
        if abs(inset + opposite) <= SIGN_MATTERS_MM:
            return f"is the inset's sign the seller's? The {other.name} wheels have {mm(opposite, sign=True)}{by}"
    return None


def _track(one: AtScale, result: StanceResult, end: EndStance) -> Told:
    limit = np.maximum(TUCK_MM, visible_mm(one.wanted_mm))
    off = first(one.off_mm)
    do = None
    if abs(off) > first(limit):
        do = f"bring each wheel {mm(abs(off) / 2)} {'in' if off > 0 else 'out'}"
        if isinstance(end.tuck, Tuck):
            excess = first(end.tuck.wanted_track_mm) - first(one.wanted_mm)
            if abs(excess) > first(limit):  # then tyres that fill the arches cannot have the prototype's track as well
                do = (
                    f"follow the arches, which ask for {mm(end.tuck.wanted_track_mm)}: over its wheels the shell is "
                    f"{mm(abs(excess))} {'wider' if excess > 0 else 'narrower'} than the full-size vehicle at scale"
                )
    return {
        "value": one.off_mm, "limit": limit, "sense": "within", "unit": "mm", "tight_within": TIGHT_MM,
        "why": f"the track is {mm(one.model_mm)}, the full-size vehicle's at {one_to(one.scale)} {mm(one.wanted_mm)}",
        "do": do, "where": at_wheel(result, end, f"{end.name} wheels"), "source": LENGTH_SOURCE,
    }  # fmt: skip
