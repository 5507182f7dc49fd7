"""Measured numbers as text: exactly, for the build file, and rounded, for people."""

import math
from decimal import Decimal, localcontext
from fractions import Fraction

from coachwork.quantity.kinds import RATIO, Kind
from coachwork.quantity.measured import Measured
from coachwork.quantity.units import Conversion, conversion

# Reading is exact but for one rounding, so 17 significant digits bring any float back whatever the unit
# (2**-53 relative). Only beside a temperature's shifted zero can more be needed; then the internal unit is used.
_DIGITS = 17


def show(measured: Measured, unit: str | None = None) -> str:
    """The canonical text, from which `parse` with the same kind gives back an equal `Measured`.

    unit   : a unit text; None is the one a bare number of this kind means. A temperature so near zero that the other
             scale's shifted zero would swallow its last digits is written in degC instead
    Raises : UnknownUnit or OtherKind (ValueErrors) for a unit that does not fit

    >>> from coachwork.quantity import LENGTH, parse
    >>> show(parse("10 1/2 in", LENGTH))
    '266.7 ± 0.1 mm by callipers'
    >>> show(parse("10 1/2 in", LENGTH), "in")
    '10.5 ± 0.003937007874015748 in by callipers'
    """
    kind = measured.kind
    for name in (unit or kind.bare_unit, kind.bare_unit, kind.unit):
        convert = _conversion(name, kind)
        value = _shortest(measured.value, convert)
        half_width = _shortest(measured.half_width, Conversion(convert.scale))
        if value is not None and half_width is not None:
            break
    else:
        raise AssertionError(f"{measured} has no exact text")  # 17 digits serve every kind's own unit
    between = f" {name} ± " if name == "%" else " ± "
    return f"{value}{between}{half_width}{' ' if name else ''}{name} {measured.source.value}"


def brief(measured: Measured, unit: str | None = None) -> str:
    """A text for people: the spread to two digits at most (JCGM 100:2008, 7.2.6), the value to the same place.

    >>> from coachwork.quantity import LENGTH, parse
    >>> brief(parse("267", LENGTH))
    '267.0 ± 0.1 mm'
    >>> brief(parse("267 ± 0.125", LENGTH), "in")
    '10.5118 ± 0.0049 in'
    >>> brief(parse("-0.01 ± 0.5", LENGTH))
    '0.0 ± 0.5 mm'
    """
    kind = measured.kind
    name = unit or kind.bare_unit
    convert = _conversion(name, kind)
    value = float((Fraction(measured.value) - convert.offset) / convert.scale)
    half_width = float(Fraction(measured.half_width) / convert.scale)
    behind = f" {name}" if name else ""
    if half_width == 0:
        return f"{value:z.6g}{behind}"
    place = 1 - math.floor(math.log10(half_width))  # decimals that leave two digits of the spread
    while round(half_width, place) == round(half_width, place - 1):
        place -= 1  # no zeros for show: 0.1, not 0.10
    decimals = max(place, 0)
    middle = f" {name} ± " if name == "%" else " ± "
    return f"{round(value, place):z.{decimals}f}{middle}{round(half_width, place):.{decimals}f}{behind}"


def _conversion(unit: str, kind: Kind) -> Conversion:
    return Conversion(Fraction(1)) if not unit and (kind is RATIO or kind.whole) else conversion(unit, kind)


def _shortest(internal: float, convert: Conversion) -> str | None:
    """The shortest decimal that reads back as this float, or None."""
    wanted = (Fraction(internal) - convert.offset) / convert.scale
    for digits in range(1, _DIGITS + 1):
        with localcontext() as context:
            context.prec = digits
            decimal = Decimal(wanted.numerator) / Decimal(wanted.denominator)
        text = f"{decimal:f}" if -6 < decimal.adjusted() < 16 else f"{decimal:e}"
        try:
            if float(Fraction(text) * convert.scale + convert.offset) == internal:
                return text
        except OverflowError:  # few digits can round up past the largest float
            continue
    return None
