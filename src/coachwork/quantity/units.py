"""Unit texts, and what one of them is worth in a kind's internal unit.

The conversions are pint's. Its registry takes 0.5 s to load, so a unit that is the kind's own never asks for it, nor
do the few that stand in every build; a test holds these to pint.
"""

import difflib
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from coachwork.quantity.kinds import KINDS, TORQUE, Kind

if TYPE_CHECKING:
    import pint


@dataclass(frozen=True)
class Conversion:
    """Internal number = number * scale + offset, exactly; the offset is for temperatures only."""

    scale: Fraction
    offset: Fraction = Fraction(0)


class UnknownUnit(ValueError):
    """No such unit; `suggestion` is the nearest one that fits, or None."""

    def __init__(self, suggestion: str | None) -> None:
        super().__init__(suggestion)
        self.suggestion = suggestion


class OtherKind(ValueError):
    """A unit of something else; `dimension` says of what ("a mass"), None where we have no word for it."""

    def __init__(self, dimension: str | None) -> None:
        super().__init__(dimension)
        self.dimension = dimension


EVERYDAY = {
    ("length", "in"): Fraction(254, 10), ("length", "inch"): Fraction(254, 10), ("length", "ft"): Fraction(3048, 10),
    ("length", "cm"): Fraction(10), ("length", "m"): Fraction(1000),
    ("current", "mA"): Fraction(1, 1000), ("time", "ms"): Fraction(1, 1000), ("charge", "Ah"): Fraction(1000),
    ("resistance", "mohm"): Fraction(1, 1000), ("resistance", "kohm"): Fraction(1000),
    ("voltage", "mV"): Fraction(1, 1000), ("speed", "km/h"): Fraction(10**6, 3600), ("speed", "m/s"): Fraction(1000),
    ("mass", "kg"): Fraction(1000), ("torque", "kgf cm"): Fraction(980665, 10000),
}  # fmt: skip
"""(kind, unit) -> its size in the kind's internal unit, for units met in most builds."""

# Letters, then perhaps a small power; joined by blanks or /. Whatever else pint could evaluate never reaches it.
_FACTOR = r"[A-Za-zµμ]{1,24}(?:\^-?[1-4])?"
_UNIT = re.compile(rf"{_FACTOR}(?:(?: | ?/ ?){_FACTOR}){{0,3}}|%")
_SPELLINGS = (
    ("°C", "degC"), ("°F", "degF"), ("°", "deg"), ("Ω", "ohm"), ("Ω", "ohm"), ('"', "in"), ("'", "ft"),
    ("percent", "%"), ("**", "^"), ("²", "^2"), ("³", "^3"),
)  # fmt: skip
_WEIGHT = {"kg": "kgf", "g": "gf", "oz": "ozf", "lb": "lbf"}
# Labels run torque units together, and pint would read "Nm" as something else entirely.
_JOINED = re.compile(r"(kgf?|gf?|ozf?|lbf?|mN|N)(mm|cm|m|in)")


def tidy(unit: str, kind: Kind) -> str:
    """The unit in one spelling; on torques and springs a label's "kg cm" is a weight times an arm.

    >>> tidy("kg·cm", TORQUE)
    'kgf cm'
    """
    for spelling, plain in _SPELLINGS:
        unit = unit.replace(spelling, plain)
    unit = re.sub(r"(?<=\w)\s*[·⋅*]\s*(?=\w)", " ", unit)  # kg·cm
    unit = re.sub(r"(?<=[A-Za-z])[-.](?=[A-Za-z])", " ", unit)  # kg-cm, kg.cm
    unit = re.sub(r"(?<=[A-Za-z])([23])\b", r"^\1", unit)  # mm2
    unit = " ".join(unit.split())
    if kind is TORQUE and (joined := _JOINED.fullmatch(unit)):
        unit = " ".join(joined.groups())
    if kind.name in ("torque", "spring rate") and (" " in unit or "/" in unit):
        unit = re.sub(r"[A-Za-z]+", lambda word: _WEIGHT.get(word[0], word[0]), unit)
    return unit


def is_unit_text(unit: str, kind: Kind) -> bool:
    """Whether the text has the form of a unit, known or not."""
    return _UNIT.fullmatch(tidy(unit, kind)) is not None


def is_percent(unit: str) -> bool:
    """Whether the unit is a share in hundredths."""
    return unit in ("%", "percent")


@lru_cache(maxsize=512)
def conversion(unit: str, kind: Kind) -> Conversion:
    """What a unit text is worth in the internal unit of a kind.

    Raises UnknownUnit or OtherKind.
    """
    unit = tidy(unit, kind)
    if unit and unit == kind.bare_unit:
        return Conversion(kind.bare_scale)
    if unit and unit == kind.unit:
        return Conversion(Fraction(1))
    if kind.name == "ratio" and unit == "%":
        return Conversion(Fraction(1, 100))
    if (kind.name, unit) in EVERYDAY:
        return Conversion(EVERYDAY[kind.name, unit])
    if _UNIT.fullmatch(unit) is None:
        raise UnknownUnit(_nearest(unit, kind))
    if unit == "%":
        raise OtherKind("a ratio")
    # By the letters, before pint: to it "MM" is a concentration.
    if unit not in kind.units and (same := [known for known in kind.units if known.lower() == unit.lower()]):
        raise UnknownUnit(same[0])
    theirs = _root(unit)
    if theirs is None:
        written_small = unit.lower() if kind.unit and _root(unit.lower()) == _root(kind.unit) else None
        raise UnknownUnit(written_small or _nearest(unit, kind))
    if not kind.unit or theirs != _root(kind.unit):
        raise OtherKind(next((other.dimension for other in KINDS if other.unit and _root(other.unit) == theirs), None))
    try:
        zero, one = (_registry().Quantity(Fraction(n), unit).to(kind.unit).magnitude for n in (0, 1))
    except (ValueError, TypeError, AttributeError) as trouble:  # logarithmic and difference units
        raise UnknownUnit(None) from trouble
    return Conversion(one - zero, zero)


@lru_cache(maxsize=1)
def _registry() -> "pint.UnitRegistry[Any]":
    """Our own registry, in fractions: 25.4, 9.80665 and 459.67 are exact, and one rounding comes last of all."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@lru_cache(maxsize=512)
def _root(unit: str) -> Any:
    """The base units behind a unit, or None for an unknown one.

    Not the dimensionality: to pint that is the same for rpm and Hz, for degrees and percent.
    """
    try:
        return _registry().get_root_units(_registry().parse_units(unit))[1]
    except (AttributeError, ValueError, TypeError):  # undefined; "nan", which pint takes for a number; decibels
        return None


def _nearest(unit: str, kind: Kind) -> str | None:
    near = difflib.get_close_matches(unit, kind.units, n=1) or difflib.get_close_matches(unit.lower(), kind.units, n=1)
    return near[0] if near else None
