"""Slips of the pen: the wrong unit, the decimal point, swapped digits; each found by undoing it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import NamedTuple

from coachwork.build.entries import Entry
from coachwork.quantity import ANGLE, LENGTH, MASS, RATIO, RESISTANCE, SPEED, Kind, brief


class Finding(NamedTuple):
    """A number, what is odd about it, what to do, and what it would read without its slip, if there is one."""

    entry: Entry
    what: str
    suggestion: str
    fits: str | None = None


OFF_PARTNER = 0.15  # a dimension this far from what others make of it is a slip sooner than a fault of the shell
_DECIMAL = "has the decimal point slipped one place?"
_SLIPS: dict[Kind, tuple[tuple[float, str], ...]] = {
    LENGTH: (
        (25.4, "were these inches? then write the unit: in"),
        (1000.0, "were these metres? then write the unit: m"),
        (10.0, "has the decimal point slipped one place, or were these cm?"),
        (0.1, _DECIMAL),
        (304.8, "were these feet? then write the unit: ft"),
        (100.0, "has the decimal point slipped two places?"),
        (0.01, "has the decimal point slipped two places?"),
        (1 / 25.4, "was it in millimetres already?"),
        (-1.0, "is the sign the other way round?"),
    ),
    MASS: (
        (1000.0, "was this in kilograms? then write the unit: kg"),
        (28.349523125, "was this in ounces? then write the unit: oz"),
        (10.0, _DECIMAL),
        (0.1, _DECIMAL),
    ),
    ANGLE: (
        (180 / math.pi, "was this in radians? then write the unit: rad"),
        (10.0, _DECIMAL),
        (0.1, _DECIMAL),
        (-1.0, "is the sign the other way round?"),
    ),
    SPEED: (
        (1e6 / 3600, "was this in km/h? then write the unit: km/h"),
        (1000.0, "was this in m/s? then write the unit: m/s"),
    ),
    RESISTANCE: ((0.001, "were these milliohms? then write the unit: mohm"), (10.0, _DECIMAL), (0.1, _DECIMAL)),
    RATIO: ((0.01, "was this in per cent? then write the sign: %"), (10.0, _DECIMAL), (0.1, _DECIMAL)),
}
_OTHER_SLIPS = ((10.0, _DECIMAL), (0.1, _DECIMAL))


def likeliest_slip(entry: Entry, low: float, high: float, near: float | None = None) -> tuple[str, str] | None:
    """The likeliest slip that brings a value back between two bounds, and what it would read without.

    near : what the value should about be, where that is known; a slip has to end up there. Else, where several would
           do, the one that ends up nearest the middle of two bounds far apart: 274 for a wheelbase was cm, not inches
           of a coach
    """
    assert entry.measured is not None
    value = entry.measured.value
    middle = near if near is not None else math.sqrt(low * high) if low > 0 and high > 4 * low else None
    found = []
    for order, (factor, told) in enumerate(_SLIPS.get(entry.measured.kind, _OTHER_SLIPS)):
        whole = not entry.measured.kind.whole or (value * factor).is_integer()  # no slip makes 1.9 teeth of 19
        fitting = near is None or abs(value * factor / near - 1) <= OFF_PARTNER
        if low <= value * factor <= high and whole and fitting:
            away = order if middle is None else abs(math.log(value * factor / middle))
            found.append((away, told, as_written(entry, value * factor)))
    if not found:
        return None
    _, told, fits = min(found)
    return f"{told} ({fits} would fit)", fits


def as_written(entry: Entry, value: float) -> str:
    """Another value of the same entry, as a builder writes it."""
    assert entry.measured is not None
    if entry.key == "build.scale" and 0 < value < 1:
        return f"1:{1 / value:.4g}"
    scale = float(entry.KIND.bare_scale)
    return brief(replace(entry.measured, value=float(f"{value / scale:.4g}") * scale, half_width=0.0))


def swapped_digits(value: float, expected: float, within: float = 0.02) -> float | None:
    """The number with two neighbouring digits swapped that comes within a share of what is expected, if any.

    >>> swapped_digits(692.0, 267.0) is None
    True
    >>> swapped_digits(627.0, 267.0)
    267.0
    """
    digits = f"{value:g}"
    for i in range(len(digits) - 1):
        if digits[i].isdigit() and digits[i + 1].isdigit() and digits[i] != digits[i + 1]:
            other = float(digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :])
            if expected and abs(other / expected - 1) <= within:
                return other
    return None


def said(entry: Entry) -> str:
    assert entry.measured is not None
    return as_written(entry, entry.measured.value) if entry.measured.half_width == 0 else brief(entry.measured)
