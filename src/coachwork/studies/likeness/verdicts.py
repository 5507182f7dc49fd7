"""Numbers of the likeness in, findings out."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.outline import Along
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.likeness.eye import LENGTH_SOURCE, PROPORTION_PERCENT, PROPORTION_SOURCE
from coachwork.studies.likeness.fit import FEWEST_TO_DOUBT, ScaleFit
from coachwork.studies.likeness.result import Dimension, LikenessResult
from coachwork.studies.likeness.worklist import job
from coachwork.studies.parts import Missing, attempt, is_missing, need, need_all
from coachwork.studies.wording import COMMON_PRACTICE, first, mm, one_to

CONTRADICT = 3.0  # times more scatter than measuring explains
SCALE_PERCENT = 2.0  # a body this far off still passes beside other models and wheels of the stated scale
PLURAL: dict[Along, str] = {"length": "lengths", "width": "widths", "height": "heights"}


def findings(result: LikenessResult) -> Iterator[Finding]:
    """The scale, the agreement of the axes, then every dimension."""
    yield _scale(result)
    yield _agreement(result, "width", too_much=("narrow", "wide"))
    yield _agreement(result, "height", too_much=("low", "tall"))
    for name, part in result.dimensions.items():
        question = f"Is the {result.told[name]} right?"
        yield judge(part, lambda one: _one(one, result), id=f"likeness.{name}", question=question)


def _scale(result: LikenessResult) -> Finding:
    id, question = "likeness.scale", "Is the shell the scale it is said to be?"
    fit = result.overall
    if isinstance(result.declared, Missing) and isinstance(fit, ScaleFit):
        return Finding(
            id=id, question=question, missing=result.declared.keys, where=Place(part="shell"),
            why=f"no scale is stated; {_agreed(fit)} {one_to(fit.ratio)}, and that is used meanwhile",
            do=f'state the scale you build to, such as scale = "{one_to(fit.ratio)}" in [build]',
        )  # fmt: skip

    def answer(both: tuple[ScaleFit, Numbers]) -> Told:
        fit, declared = both
        off = 100 * (fit.ratio / declared - 1)
        sure = f"to {100 * first(fit.sigma / fit.ratio):.1f} %"
        do = (
            f"choose tyres, track and fittings for {one_to(fit.ratio)}: the shell is {_share(off)} too "
            f"{'large' if first(off) > 0 else 'small'} for {one_to(declared)}"
        )
        if _disagree(fit):
            do = "first find out which of the two is off: measure a third, along the body or across"
        return {
            "value": off, "limit": np.full_like(off, SCALE_PERCENT), "sense": "within", "tight_within": 0.3,
            "unit": "%", "why": f"{_agreed(fit)} {one_to(fit.ratio)} ({sure}), the build says {one_to(declared)}",
            "do": do if abs(first(off)) > SCALE_PERCENT else None, "where": Place(part="shell"),
            "source": COMMON_PRACTICE,
        }  # fmt: skip

    return judge(attempt(need_all, fit, result.declared), answer, id=id, question=question)


def _agreed(fit: ScaleFit) -> str:
    if _disagree(fit):
        return "two dimensions disagree, the middle between them is"
    return f"{fit.dimensions} dimensions agree on" if fit.dimensions > 1 else "the one dimension comes to"


def _disagree(fit: ScaleFit) -> bool:
    """Whether these are two dimensions, further apart than measuring explains: nobody can say which is wrong."""
    return 1 < fit.dimensions < FEWEST_TO_DOUBT and first(fit.scatter) > CONTRADICT


def _share(percent: Numbers) -> str:
    return f"{abs(first(percent)):.1f} %"


def _agreement(result: LikenessResult, axis: Along, *, too_much: tuple[str, str]) -> Finding:
    """One axis's scale against that of the lengths, since wheelbase and length are what a build is fixed by."""

    def answer(both: tuple[ScaleFit, ScaleFit]) -> Told:
        own, lengths = both
        off = 100 * (own.ratio / lengths.ratio - 1)
        why = f"the {PLURAL[axis]} are at {one_to(own.ratio)}, the lengths at {one_to(lengths.ratio)}"
        do = None
        if abs(first(off)) > PROPORTION_PERCENT:
            few = [PLURAL[of] for of, fit in ((axis, own), ("length", lengths)) if fit.dimensions < FEWEST_TO_DOUBT]
            why += f": the shell is {_share(off)} too {too_much[first(off) > 0]} for its length"
            if few:
                why += "; one wrong part would look the same"
            do = _more_of(few, result, axis) if few else _whole_axis(result, axis, own, lengths)
        return {
            "value": off, "limit": np.full_like(off, PROPORTION_PERCENT), "sense": "within", "tight_within": 0.3,
            "unit": "%", "why": why, "do": do, "where": Place(part="shell"), "source": PROPORTION_SOURCE,
        }  # fmt: skip

    return judge(
        attempt(need_all, result.axes[axis], result.axes["length"]), answer,
        id=f"likeness.scale-agreement.{axis}",
        question=f"Are the shell's {PLURAL[axis]} to the same scale as its lengths?",
    )  # fmt: skip


def _more_of(few: list[str], result: LikenessResult, axis: Along) -> str:
    """What tells a wrong part from a whole shell that is off; no cure yet but that of a dimension by itself."""
    each = " of each" if len(few) > 1 else ""
    do = f"measure {' and '.join(few)} until there are {FEWEST_TO_DOUBT}{each}, before you cut"
    off = [PLURAL[along] for along in (axis, "length") if _is_off(result, along)]
    if len(off) == 1:
        do += f"; by the stated {one_to(need(result.declared))} it is the {off[0]} that are off"
    return do


def _is_off(result: LikenessResult, axis: Along) -> bool:
    """Whether an axis as a whole is off from the stated scale."""
    fit, declared = result.axes[axis], result.declared
    if is_missing(fit) or is_missing(declared):
        return False
    return abs(first(fit.ratio / declared - 1)) * 100 > PROPORTION_PERCENT


def _whole_axis(result: LikenessResult, axis: Along, own: ScaleFit, lengths: ScaleFit) -> str:
    """Cut or let in along the whole shell, or live with it; with the amount where the overall dimension is known."""
    followers = "track and tyres" if axis == "width" else "tyres and ride height"
    leave = f"or leave it and let {followers} follow {one_to(own.ratio)}"
    whole = result.dimensions[axis]
    if not isinstance(whole, Dimension):
        return f"measure the overall {axis} on both vehicles for the amount to cut or let in, {leave}"
    excess = first(whole.shell_mm * (1 - lengths.ratio / own.ratio))
    where = "along the body's centreline" if axis == "width" else "below the roof"
    return f"{f'take {mm(excess)} out' if excess > 0 else f'let in {mm(-excess)}'} {where}, {leave}"


def _one(one: Dimension, result: LikenessResult) -> Told:
    todo = job(one)
    return {
        "value": one.own_error_mm, "limit": one.visible_mm, "sense": "within", "unit": "mm",
        "tight_within": 0.15 * first(one.visible_mm), "why": _why(one, result),
        "do": None if todo.work == "leave" else todo.text, "where": Place(part=f"shell: {one.told}"),
        "source": LENGTH_SOURCE,
    }  # fmt: skip


def _why(one: Dimension, result: LikenessResult) -> str:
    """Which of the two it is: a part modelled wrong, or a shell that is off as a whole."""
    scale = need(result.scale)
    own, total, limit = first(one.own_error_mm), first(one.error_mm), first(one.visible_mm)
    like = {"axis": f"the other {PLURAL[one.along]}", "all": "the other dimensions", "declared": "the stated scale"}
    told = like[one.reference]
    at = f"{told} ({one_to(one.reference_ratio)})"
    wanted = mm(one.prototype_mm * one.reference_ratio)
    why = f"{mm(one.shell_mm)} where {at} would have {wanted}: {mm(abs(own))} {'over' if own > 0 else 'under'}"
    if one.reference == "declared":
        return why
    if abs(own) > limit:
        if abs(total) <= limit and not is_missing(result.declared):
            return f"{why}; at {one_to(scale)} it would be right, it is {told} that are off"
        if one.reference == "axis":
            return f"{why}; this part is modelled wrong, not the whole shell"
        return f"{why}; with so few {PLURAL[one.along]}, this part or all of them"
    if abs(total) > limit:
        whole = f"all {PLURAL[one.along]}" if one.reference == "axis" else "all dimensions"
        return f"{why}; it goes with its like, but {whole} are off from {one_to(scale)}, here by {mm(total, sign=True)}"
    return why
