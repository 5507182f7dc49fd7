"""Preferred values: resistors (IEC 60063), their power ratings, fuses."""

from __future__ import annotations

import math
from typing import Literal

Series = Literal["E6", "E12", "E24", "E96"]

# E24 and below are older than their formula and differ from it in places, so they are tables.
_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)
_DECADES: dict[Series, tuple[float, ...]] = {
    "E6": tuple(value / 10 for value in _E24[::4]),
    "E12": tuple(value / 10 for value in _E24[::2]),
    "E24": tuple(value / 10 for value in _E24),
    "E96": tuple(round(10 ** (step / 96), 2) for step in range(96)),
}
RESISTOR_POWER_W = (0.125, 0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0)  # common practice, no source
FUSE_A = (0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)  # blade fuses, ISO 8820-3


def preferred_at_least(value: float, series: Series = "E12") -> float:
    """The smallest preferred value not under a positive one.

    >>> preferred_at_least(150), preferred_at_least(151), preferred_at_least(0.083), preferred_at_least(9.5)
    (150.0, 180.0, 0.1, 10.0)
    """
    if not (value > 0 and math.isfinite(value)):
        raise ValueError(f"a preferred value is positive, not {value}")
    decade = math.floor(math.log10(value))
    for exponent in (decade - 1, decade, decade + 1):
        for mantissa in _DECADES[series]:
            candidate = float(f"{mantissa}e{exponent}")
            if candidate >= value * (1 - 1e-12):
                return candidate
    raise AssertionError("a decade holds a value at least as large as any in the one before")


def preferred(series: Series) -> tuple[float, ...]:
    """One decade, from 1 to under 10."""
    return _DECADES[series]


def next_of(values: tuple[float, ...], least: float) -> float:
    """The smallest of a list that is not under a value, else its largest."""
    return next((value for value in values if value >= least), values[-1])
