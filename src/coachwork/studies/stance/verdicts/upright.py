"""Findings up from the ground: arch over tyre, sill height, level, suspension travel."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.likeness.eye import LENGTH_SOURCE, visible_mm
from coachwork.studies.stance.result import EndStance, StanceResult
from coachwork.studies.stance.upright import Level, OverTyre, SillHeight, TravelLeft
from coachwork.studies.stance.verdicts.places import at_wheel
from coachwork.studies.wording import COMMON_PRACTICE, first, mm

CLEAR_MM = 1.0  # between tyre and arch at full bump
SILL_MM = 1.0  # ride height cannot be set finer than this on springs that settle
LEVEL_MM = 1.0
BUMP_SHARE = 1 / 3  # of the whole travel
DROOP_MM = 1.0  # without any droop a wheel hangs in the air at every bump
TIGHT_MM = 0.3
HELD = {"posts": "as the posts hold it", "ground line": "taking the shell to stand on its ground line"}


def findings(result: StanceResult) -> Iterator[Finding]:
    """Each end's arch and travel, then the body's height and level."""
    for end in result.ends.values():
        yield from _of_end(result, end)
    yield judge(result.sill, _sill, id="stance.sill-height", question="Does the body sit at the right height?")
    yield judge(result.level, _level, id="stance.level", question="Does it stand level?")


def _of_end(result: StanceResult, end: EndStance) -> Iterator[Finding]:
    yield judge(
        end.over_tyre, lambda one: _over_tyre(one, result, end), id=f"stance.{end.name}.arch-over-tyre",
        question=f"Can the {end.name} wheels rise to their stop under the arches?",
    )  # fmt: skip
    if end.travel is None:
        return  # tyre and ride height as bought: the travel is as bought too
    yield judge(
        end.travel, lambda one: _bump(one, result, end), id=f"stance.{end.name}.bump-left",
        question=f"Is there bump travel left at the {end.name} ride height?",
    )  # fmt: skip
    yield judge(
        end.travel, lambda one: _droop(one, result, end), id=f"stance.{end.name}.droop-left",
        question=f"Is there droop travel left at the {end.name} ride height?",
    )  # fmt: skip


def _over_tyre(one: OverTyre, result: StanceResult, end: EndStance) -> Told:
    limit = np.broadcast_to(one.bump_mm + CLEAR_MM, np.broadcast_shapes(one.gap_mm.shape, one.bump_mm.shape))
    short = first(limit) - first(one.gap_mm)
    do = None
    if short > 0:
        inside = first(one.lip_mm) + CLEAR_MM / 2
        do = (
            f"raise the body or trim the arches by {mm(short)}, or fit tyres {mm(short)} smaller, or stop the "
            f"suspension at {mm(max(first(one.gap_mm) - CLEAR_MM, 0.0))} of bump; a tyre tucked {mm(inside)} or more "
            f"rises inside the lip"
        )
    return {
        "value": np.broadcast_to(one.gap_mm, limit.shape), "limit": limit, "sense": "at least", "unit": "mm",
        "tight_within": 0.5,
        "why": f"wheels {end.wheel}: the arch is {mm(one.arch_top_mm)} over the ground, {HELD[one.held_by]}, the "
               f"tyre's top {mm(one.tyre_top_mm)}; the wheel rises {mm(one.bump_mm)}"
               f", and {mm(CLEAR_MM)} should stay free",
        "do": do, "where": at_wheel(result, end, f"{end.name} wheel arches"),
        "source": f"the bump travel and 1 mm; the millimetre is {COMMON_PRACTICE}",
    }  # fmt: skip


def _bump(one: TravelLeft, result: StanceResult, end: EndStance) -> Told:
    limit = BUMP_SHARE * (one.bump_mm + one.droop_mm)
    short = first(limit) - first(one.bump_left_mm)
    do = None
    if short > 0:
        do = f"raise the {end.name} ride height by {mm(short)}, or fit tyres {mm(2 * short)} smaller"
    return _of_travel(one, result, end) | {
        "value": one.bump_left_mm, "limit": np.broadcast_to(limit, one.bump_left_mm.shape), "do": do,
        "source": f"{COMMON_PRACTICE}: a third of the travel for bumps",
    }  # fmt: skip


def _droop(one: TravelLeft, result: StanceResult, end: EndStance) -> Told:
    short = DROOP_MM - first(one.droop_left_mm)
    do = None
    if short > 0:
        do = f"lower the {end.name} ride height by {mm(short)}, or fit tyres {mm(2 * short)} larger"
    return _of_travel(one, result, end) | {
        "value": one.droop_left_mm, "limit": np.full_like(one.droop_left_mm, DROOP_MM), "do": do,
        "source": COMMON_PRACTICE,
    }  # fmt: skip


def _of_travel(one: TravelLeft, result: StanceResult, end: EndStance) -> Told:
    risen = first(one.risen_mm)
    left = f"{mm(one.bump_left_mm)} of bump and {mm(one.droop_left_mm)} of droop are left"
    return {
        "sense": "at least", "unit": "mm", "tight_within": 0.5,
        "why": f"with this tyre and ride height the wheel stands {mm(abs(risen))} {'higher' if risen > 0 else 'lower'} "
               f"against the chassis than as bought, so {left}",
        "where": at_wheel(result, end, f"{end.name} suspension"),
    }  # fmt: skip


def _sill(one: SillHeight) -> Told:
    limit = np.maximum(SILL_MM, visible_mm(one.wanted_mm))
    off = first(one.off_mm)
    whose = "the full-size vehicle's at scale" if one.wanted_from == "prototype" else "the shell's own ground line"
    do = None
    if abs(off) > first(limit):
        posts = "shorter" if off > 0 else "longer"
        do = f"make the body posts {mm(abs(off))} {posts}, or change both ride heights by as much"
    return {
        "value": one.off_mm, "limit": np.broadcast_to(limit, one.off_mm.shape), "sense": "within", "unit": "mm",
        "tight_within": TIGHT_MM, "why": f"the sill is {mm(one.sill_mm)} over the ground, {whose} {mm(one.wanted_mm)}",
        "do": do, "where": Place(part="sills"), "source": LENGTH_SOURCE,
    }  # fmt: skip


def _level(one: Level) -> Told:
    off = first(one.off_mm)
    high, low = ("rear", "front") if off > 0 else ("front", "rear")
    do = f"lower the {high} or raise the {low}, {mm(abs(off))} between them" if abs(off) > LEVEL_MM else None
    return {
        "value": one.off_mm, "limit": np.full_like(one.off_mm, LEVEL_MM), "sense": "within", "unit": "mm",
        "tight_within": TIGHT_MM, "why": f"ride height {mm(one.front_mm)} in front, {mm(one.rear_mm)} behind",
        "do": do, "where": Place(part="chassis"), "source": COMMON_PRACTICE,
    }  # fmt: skip
