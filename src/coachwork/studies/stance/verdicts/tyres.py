"""Findings on tyres: as large as they should look, and fit for their rims."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.finding import Finding, Told, judge
from coachwork.studies.likeness.eye import LENGTH_SOURCE, visible_mm
from coachwork.studies.stance.across import AtScale
from coachwork.studies.stance.bead import Fit
from coachwork.studies.stance.result import EndStance, StanceResult
from coachwork.studies.stance.verdicts.places import at_wheel
from coachwork.studies.wording import COMMON_PRACTICE, first, mm, one_to

LOOK_MM = 1.0  # rubber tyres of one kind differ by about this
BEAD_WIDTH_MM = 1.5  # rubber takes this much squeeze or stretch before the sidewall bulges or pulls in
GRIP_MM = 0.3  # of stretch, for a tyre to stay on its seat while glue sets, and without glue
STRETCH_SHARE = 0.04  # of the seat's diameter; more pulls the tread out of round


def findings(result: StanceResult) -> Iterator[Finding]:
    """Each end's tyre; beads only where the builder has them off the rim."""
    for end in result.ends.values():
        yield from _of_end(result, end)


def _of_end(result: StanceResult, end: EndStance) -> Iterator[Finding]:
    yield judge(
        end.tyre, lambda one: _diameter(one, result, end), id=f"stance.{end.name}.tyre-diameter",
        question=f"Do the {end.name} tyres look as large as the full-size vehicle's?",
    )  # fmt: skip
    if end.bead_width is not None:
        yield judge(
            end.bead_width, lambda one: _bead_width(one, result, end), id=f"stance.{end.name}.bead-width",
            question=f"Are the {end.name} tyres as wide at the bead as their rims?",
        )  # fmt: skip
    if end.bead_diameter is not None:
        yield judge(
            end.bead_diameter, lambda one: _loose(one, result, end), id=f"stance.{end.name}.bead-loose",
            question=f"Do the {end.name} tyres grip their rims?",
        )  # fmt: skip
        yield judge(
            end.bead_diameter, lambda one: _stretched(one, result, end), id=f"stance.{end.name}.bead-stretched",
            question=f"Do the {end.name} tyres go over their rims without stretching out of round?",
        )  # fmt: skip


def _diameter(one: AtScale, result: StanceResult, end: EndStance) -> Told:
    limit = np.maximum(LOOK_MM, visible_mm(one.wanted_mm))
    off = first(one.off_mm)
    do = f"look for tyres of {mm(one.wanted_mm)}, {mm(abs(off))} {'smaller' if off > 0 else 'larger'}"
    return {
        "value": one.off_mm, "limit": np.broadcast_to(limit, one.off_mm.shape), "sense": "within", "unit": "mm",
        "tight_within": 0.3,
        "why": f"tyres {end.wheel}: {mm(one.model_mm)}, the full-size vehicle's at {one_to(one.scale)} "
               f"{mm(one.wanted_mm)}",
        "do": do if abs(off) > first(limit) else None, "where": at_wheel(result, end, f"{end.name} tyres"),
        "source": LENGTH_SOURCE,
    }  # fmt: skip


def _bead_width(one: Fit, result: StanceResult, end: EndStance) -> Told:
    wider = first(one.rim_larger_mm)
    how = "narrower" if wider > 0 else "wider"
    do = f"find a rim {mm(abs(wider))} {how} at the seat ({mm(one.tyre_mm)}), or another tyre"
    return {
        "value": one.rim_larger_mm, "limit": np.full_like(one.rim_larger_mm, BEAD_WIDTH_MM), "sense": "within",
        "unit": "mm", "tight_within": 0.3,
        "why": f"the seat is {mm(one.rim_mm)} wide, the tyre {mm(one.tyre_mm)} over its beads",
        "do": do if abs(wider) > BEAD_WIDTH_MM else None, "where": at_wheel(result, end, f"{end.name} tyres"),
        "source": f"{COMMON_PRACTICE}: rubber takes 1.5 mm",
    }  # fmt: skip


def _loose(one: Fit, result: StanceResult, end: EndStance) -> Told:
    short = GRIP_MM - first(one.rim_larger_mm)
    seat = mm(one.tyre_mm + GRIP_MM)
    do = f"build the seat up to {seat} with tape, or find a tyre of a smaller bead; glue alone lets go"
    return _of_diameter(one, result, end) | {
        "limit": np.full_like(one.rim_larger_mm, GRIP_MM), "sense": "at least", "tight_within": 0.1,
        "do": do if short > 0 else None, "source": f"{COMMON_PRACTICE}: 0.3 mm of stretch to hold on",
    }  # fmt: skip


def _stretched(one: Fit, result: StanceResult, end: EndStance) -> Told:
    limit = STRETCH_SHARE * one.rim_mm
    do = f"find a rim of at most {mm(one.tyre_mm / (1 - STRETCH_SHARE))} at the seat, or a tyre of a larger bead"
    return _of_diameter(one, result, end) | {
        "limit": np.broadcast_to(limit, one.rim_larger_mm.shape), "sense": "at most", "tight_within": 0.2,
        "do": do if first(one.rim_larger_mm) > first(limit) else None,
        "source": f"{COMMON_PRACTICE}: a bead stretches 4 % and stays round",
    }  # fmt: skip


def _of_diameter(one: Fit, result: StanceResult, end: EndStance) -> Told:
    larger = first(one.rim_larger_mm)
    how = f"stretches by {mm(larger)}" if larger >= 0 else f"hangs {mm(-larger)} loose"
    return {
        "value": one.rim_larger_mm, "unit": "mm",
        "why": f"the seat is {mm(one.rim_mm)} across, the tyre's hole {mm(one.tyre_mm)}: it {how}",
        "where": at_wheel(result, end, f"{end.name} tyres"),
    }  # fmt: skip
