"""From pairs of measurements to scales and errors."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

import numpy as np

from coachwork.build import Entry, Numbers
from coachwork.build.sections.about import About
from coachwork.build.sections.outline import Along, Details, Prototype, Shell
from coachwork.studies.likeness.eye import PROPORTION_PERCENT, visible_mm
from coachwork.studies.likeness.fit import ScaleFit, fit_scale
from coachwork.studies.likeness.pairs import Pair, pairs
from coachwork.studies.likeness.result import Dimension, LikenessResult, Reference
from coachwork.studies.likeness.worklist import worklist
from coachwork.studies.parts import Missing, Part, attempt, is_missing
from coachwork.studies.wording import first

AXES: tuple[Along, ...] = get_args(Along)
# Fewer dimensions than this along an axis cannot outvote one that is wrong, so they are no reference for each other.
FEWEST_FOR_A_REFERENCE = 3


def look(about: About, prototype: Prototype, shell: Shell, details: Details) -> LikenessResult:
    """Compare every dimension known on both vehicles. All arrays (samples,)."""
    asked = list(pairs(prototype, shell, details))
    known = [pair for pair in asked if not pair.blanks]
    declared = attempt(lambda: about.scale.ratio)
    overall = _fit(known, Missing(tuple(key for pair in asked[:1] for key in pair.blanks)))
    axes = {axis: _fit([p for p in known if p.along == axis], _first_of(axis, prototype, shell)) for axis in AXES}
    scale = overall.ratio if is_missing(declared) and isinstance(overall, ScaleFit) else declared
    references = {axis: _reference(axes[axis], overall, declared, two_agree=_two_agree(known)) for axis in AXES}
    dimensions = {pair.name: _dimension(pair, scale, references[pair.along]) for pair in asked}
    return LikenessResult(
        declared=declared, scale=scale, overall=overall, axes=axes, dimensions=dimensions,
        told={pair.name: pair.told for pair in asked},
        worklist=worklist([part for part in dimensions.values() if isinstance(part, Dimension)]),
    )  # fmt: skip


def _first_of(axis: Along, prototype: Prototype, shell: Shell) -> Missing:
    """What to measure for a scale along an axis: overall length, width or height on both vehicles."""
    both: tuple[Entry, ...] = (getattr(prototype, axis), getattr(shell, axis))
    return Missing(tuple([entry.key for entry in both if not entry.known]))


def _fit(known: Sequence[Pair], otherwise: Missing) -> Part[ScaleFit]:
    if not known:
        return otherwise
    shared = np.broadcast_arrays(*(entry.mm for pair in known for entry in (pair.prototype, pair.shell)))
    return fit_scale(
        prototype_mm=np.stack(shared[0::2]),
        shell_mm=np.stack(shared[1::2]),
        prototype_sigma_mm=np.array([[_sigma_mm(pair.prototype)] for pair in known]),
        shell_sigma_mm=np.array([[_sigma_mm(pair.shell)] for pair in known]),
    )


def _sigma_mm(entry: Entry) -> float:
    assert entry.best is not None  # only known pairs come here
    return entry.best.sigma


def _reference(
    axis: Part[ScaleFit], overall: Part[ScaleFit], declared: Part[Numbers], *, two_agree: bool
) -> Part[tuple[Reference, Numbers]]:
    """The scale to hold a dimension against: that of its like, else of all, else the one declared.

    Holding it against its like keeps ten widths from failing when the one fault is that the shell is too wide; that
    is said once, by the agreement of the axes. Two dimensions that disagree are no reference for each other: each
    would be told as the odd one.
    """
    if isinstance(axis, ScaleFit) and axis.dimensions >= FEWEST_FOR_A_REFERENCE:
        return "axis", axis.ratio
    if isinstance(overall, ScaleFit) and overall.dimensions >= FEWEST_FOR_A_REFERENCE:
        return "all", overall.ratio
    if isinstance(declared, np.ndarray):
        return "declared", declared
    if isinstance(overall, ScaleFit) and two_agree:
        return "all", overall.ratio
    return declared  # one dimension always fits its own scale; that says nothing


def _two_agree(known: Sequence[Pair]) -> bool:
    """Whether there are two dimensions, so near in scale that neither can look odd against the middle of both."""
    if len(known) != 2:
        return False
    one, other = (first(pair.shell.mm / pair.prototype.mm) for pair in known)
    return abs(one / other - 1) * 100 <= PROPORTION_PERCENT


def _dimension(pair: Pair, scale: Part[Numbers], reference: Part[tuple[Reference, Numbers]]) -> Part[Dimension]:
    if pair.blanks:
        return Missing(pair.blanks)
    if not isinstance(reference, tuple) or not isinstance(scale, np.ndarray):
        return Missing(("build.scale",))
    full, model = pair.prototype.mm, pair.shell.mm
    ratio = model / full
    return Dimension(
        name=pair.name, told=pair.told, along=pair.along, prototype_mm=full, shell_mm=model, ratio=ratio,
        ratio_sigma=ratio * np.hypot(_sigma_mm(pair.prototype) / full, _sigma_mm(pair.shell) / model),
        error_mm=model - full * scale, error_percent=100 * (ratio / scale - 1),
        reference=reference[0], reference_ratio=reference[1],
        own_error_mm=model - full * reference[1], visible_mm=visible_mm(full * reference[1]),
    )  # fmt: skip
