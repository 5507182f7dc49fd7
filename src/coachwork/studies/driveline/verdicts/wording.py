"""Pinions and speeds in sentences."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.pinions import Pinions
from coachwork.studies.parts import Part, is_missing
from coachwork.studies.wording import first


def kmh(speed_mm_s: Numbers | float, *, digits: int = 1) -> str:
    """A speed the way a speedometer has it.

    >>> kmh(4166.7)
    '15.0 km/h'
    """
    value = speed_mm_s if isinstance(speed_mm_s, float) else first(speed_mm_s)
    return f"{value * 0.0036:.{digits}f} km/h"


TIGHT_K = 5.0  # of room below the hottest the motor may be


def fits(table: Pinions) -> Numbers:
    """Fast, cool and in reach."""
    return table.fits


def bearable(table: Pinions) -> Numbers:
    """No more load on the motor than the donor would leave it, or at least no more than now."""
    return np.maximum(table.light_enough, table.teeth <= table.fitted_teeth[..., None])


def comfortable(table: Pinions) -> Numbers:
    """The same with room to spare, and no more load on the motor than the donor would leave it."""
    return table.fits * (table.room_k >= TIGHT_K) * table.light_enough


def nearest(table: Part[Pinions], *conditions: Callable[[Pinions], Numbers]) -> int | None:
    """The pinion nearest to the fitted one that meets the first of the conditions that any pinion meets."""
    if is_missing(table):
        return None
    found = (table.nearest_of(condition(table)) for condition in conditions)
    return next((teeth for teeth in found if teeth is not None), None)


def fit_instead(table: Part[Pinions], teeth: int | None) -> str | None:
    """The change, with what it comes to."""
    if is_missing(table) or teeth is None:
        return None
    top, case = table.of(teeth)
    return f"fit a pinion of {teeth} instead of {first(table.fitted_teeth):.0f}: {kmh(top)} and {case:.0f} degC then"
