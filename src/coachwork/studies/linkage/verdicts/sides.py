"""A finding speaks for both sides: where left and right differ, for the one that is worse off."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from coachwork.studies.finding import Finding, Told, judge, margin_of
from coachwork.studies.linkage.result import Variant
from coachwork.studies.parts import Part, attempt, need
from coachwork.studies.wording import first


def of_both_sides(variant: Part[Variant], tell: Callable[[Variant], Told], *, id: str, question: str) -> Finding:
    """The finding that `tell` makes of a side; it may need parts that are missing, or find that there is none."""
    return judge(attempt(lambda: _worse(need(variant), tell)), lambda told: told, id=id, question=question)


def _worse(variant: Variant, tell: Callable[[Variant], Told]) -> Told:
    """What is told of the worse side of the plain answer; value and limit, sample by sample, of the worse one."""
    left = tell(variant)
    if variant.other is None:
        return left
    right = tell(variant.other)
    sense = left.get("sense", "at most")
    values, limits = (np.broadcast_arrays(left[key], right[key]) for key in ("value", "limit"))
    on_right = margin_of(values[1], limits[1], sense) < margin_of(values[0], limits[0], sense)
    worse, side = (right, "right") if bool(first(np.atleast_1d(on_right))) else (left, "left")
    told = worse.copy()
    told["value"], told["limit"] = np.where(on_right, values[1], values[0]), np.where(on_right, limits[1], limits[0])
    told["why"] = f"on the {side}, the worse side, {worse['why']}"
    return told
