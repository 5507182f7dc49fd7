"""What a builder may write for a number, and what it means.

    text    = ["~"] number-part [source]
    number-part = quantity
                | quantity ("±" | "+/-" | "+-") spread      10.5 ± 0.1 mm    10 in ± 0.5 mm    267 mm ± 1 %
                | quantity ".." quantity                    3.5 .. 4.2 V: the middle, give or take half the gap
                | number ":" number                         1:10
    quantity = number [unit]                                267    1.2e3 g    10-1/2"    10½ in    5' 3 1/2"
    source  = ("by" | "from") word                          by ruler    from photo

A unit behind the second number serves both; without any unit the kind's usual one is meant. "~" is a guess.
All arithmetic is exact (fractions) until the one rounding at the end, so 10 1/2 in is the float nearest to 266.7 mm.
"""

import difflib
import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import NoReturn

from coachwork.quantity.errors import Unreadable
from coachwork.quantity.kinds import RATIO, TEMPERATURE, Kind, Sign
from coachwork.quantity.lookalikes import something_else
from coachwork.quantity.measured import Measured
from coachwork.quantity.numerals import Numeral, numeral
from coachwork.quantity.sources import SOURCE_WORDS, Source
from coachwork.quantity.spreads import DEFAULT, Spreads
from coachwork.quantity.texts import as_text, short, typewritten
from coachwork.quantity.units import Conversion, OtherKind, UnknownUnit, conversion, is_percent, is_unit_text

_SPREAD_SIGN = re.compile(r"±|\+\s?/\s?-|\+-")
_RANGE_SIGN = re.compile(r"\.{2,3}|…")
_SOURCE = re.compile(r"(?:^|(?<=\s))(by|from)(?:\s+(.*))?$", re.IGNORECASE | re.DOTALL)
_INCH = re.compile(r'in|inch|inches|"')
_FOOT = re.compile(r"(?:ft|foot|feet|')(?![A-Za-z'])\s*")
_NOT_FINITE = re.compile(r"[~+\-\s]*(?:nan|inf|infinity|∞)(?![A-Za-z])", re.IGNORECASE)


@dataclass(frozen=True)
class _Part:
    """One number with the unit text behind it: `value` and `digit` are counted in that unit."""

    text: str
    value: Fraction
    digit: Fraction
    unit: str | None

    @property
    def number(self) -> str:
        """The text without its unit."""
        return self.text.removesuffix(self.unit or "").strip()


def parse(
    read: str | int | float,
    kind: Kind,
    *,
    sign: Sign = "any",
    source: Source | None = None,
    spreads: Spreads = DEFAULT,
) -> Measured:
    """A measured number out of what stands in the builder's file.

    sign    : the values this use of the kind allows
    source  : the instrument to assume where the text names none; None, or one that does not measure this kind, means
              the kind's usual one
    spreads : the spread to assume where the text states none
    Raises  : Unreadable, with one sentence for the builder; nothing else

    >>> from coachwork.quantity import LENGTH, VOLTAGE
    >>> m = parse("10 1/2 in ± 1/64 in by tape", LENGTH)
    >>> m.value, m.half_width, m.source.word
    (266.7, 0.396875, 'tape')
    >>> m = parse("3.5 .. 4.2 V", VOLTAGE)
    >>> m.value, m.half_width
    (3.85, 0.35)
    >>> parse("35 g", LENGTH)
    Traceback (most recent call last):
        ...
    coachwork.quantity.errors.Unreadable: 35 g is a mass; a length is wanted here, such as 267 mm or 10 1/2 in
    """
    return _measured(as_text(read, kind), kind, sign, source, spreads)


@lru_cache(maxsize=4096)  # a file is read again whole when one number of it changes
def _measured(text: str, kind: Kind, sign: Sign, source: Source | None, spreads: Spreads) -> Measured:
    return _Reading(text, kind, sign, source, spreads).measured()


class _Reading:
    """One text on its way to a number; holds what every complaint needs to name."""

    def __init__(self, text: str, kind: Kind, sign: Sign, source: Source | None, spreads: Spreads) -> None:
        self.read = text
        self.kind = kind
        self.sign = sign
        self.spreads = spreads
        self.default = source if source is not None and spreads.of(source, kind) is not None else kind.usual

    def measured(self) -> Measured:
        body, source = self._source(typewritten(self.read))
        if not body:
            self._refuse(f"there is no number; {self.kind.wish}")
        if found := something_else(body, self.kind):
            self._refuse(*found)
        spread_signs, range_signs = _SPREAD_SIGN.findall(body), _RANGE_SIGN.findall(body)
        if len(spread_signs) + len(range_signs) > 1:
            self._refuse(f"{short(self.read)} has more than one ± or ..; one spread or one range is wanted")
        if spread_signs:
            value, half_width = self._with_spread(*_SPREAD_SIGN.split(body))
        elif range_signs:
            value, half_width = self._range(*_RANGE_SIGN.split(body))
        else:
            value, half_width = self._alone(body, source)
        if self.kind.whole and value.denominator != 1:
            what = f"the middle of {short(body)}" if range_signs else short(body)
            self._refuse(f"{what} is not a whole number; {self.kind.wish}")
        try:
            return Measured(float(value), float(half_width), source, self.kind)
        except OverflowError:
            self._refuse(f"{short(self.read)} is too large a number")

    def _source(self, text: str) -> tuple[str, Source]:
        """The text without "~" and "by ...", and the source these name."""
        named = None
        if found := _SOURCE.search(text):
            word = " ".join((found[2] or "").lower().split())
            named = SOURCE_WORDS.get(word)
            if named is None:
                near = difflib.get_close_matches(word, SOURCE_WORDS, n=1, cutoff=0.7)
                hint = f"did you mean {near[0]}?" if near else "known are " + ", ".join(s.word for s in Source)
                if not word:
                    self._refuse(f"{found[1]} is followed by nothing; {hint}")
                self._refuse(f"{found[1]} {short(word)} names no known source; {hint}", near[0] if near else None)
            text = text[: found.start()].strip()
        if text.startswith("~"):
            if named not in (None, Source.GUESS):
                self._refuse(f'~ means a guess, yet the text says "{named.value}"; leave one of them out')
            return text[1:].strip(), Source.GUESS
        return text, named or self.default

    def _alone(self, body: str, source: Source) -> tuple[Fraction, Fraction]:
        if ":" in body:
            value, digit = self._ratio(body), Fraction(0)  # 1:10 on a box is nominal: no digit to be half of
        else:
            part = self._part(body)
            convert = self._conversion(part)
            value, digit = part.value * convert.scale + convert.offset, part.digit * convert.scale
        self._check_sign(value, body)
        rule = self.spreads.of(source, self.kind)
        if rule is None:
            self._refuse(f'"{source.value}" does not say how exact {self.kind.dimension} is; '
                         f"write the spread, such as {short(body)} ± 1 %")  # fmt: skip
        try:
            return value, Fraction(rule.half_width(value=float(value), digit=float(digit)))
        except OverflowError:
            self._refuse(f"{short(self.read)} is too large a number")

    def _with_spread(self, left: str, right: str) -> tuple[Fraction, Fraction]:
        spread = self._part(right)
        if spread.value < 0:
            plain = spread.text[1:].strip()
            self._refuse(f"the spread {short(spread.text)} is negative; write ± {short(plain)}", f"± {plain}")
        if ":" in left:
            value, convert = self._ratio(left), Conversion(Fraction(1))
            share = spread.unit is not None and is_percent(spread.unit)
        else:
            number = self._part(left)
            share = spread.unit is not None and is_percent(spread.unit) and self.kind is not RATIO
            if self.kind is RATIO and number.unit is None and spread.unit is not None:
                self._refuse(f"{short(self.read)} can mean a share of the value or points of a percentage; "
                             "write % behind both numbers or behind none")  # fmt: skip
            if number.unit is None and not share:
                number = replace(number, unit=spread.unit)
            convert = self._conversion(number)
            value = number.value * convert.scale + convert.offset
        self._check_sign(value, left)
        if share and self.kind is TEMPERATURE:
            self._refuse(f"{short(spread.text)} of a temperature depends on where its zero lies; "
                         "write the spread in degC")  # fmt: skip
        if share:
            return value, abs(value) * spread.value / 100
        if spread.unit is not None:
            convert = self._conversion(spread)
        return value, spread.value * convert.scale

    def _range(self, left: str, right: str) -> tuple[Fraction, Fraction]:
        low, high = self._part(left), self._part(right)
        if high.unit is None and low.unit is not None:
            plain = f"{low.number} .. {high.number} {low.unit}"
            self._refuse(f"the unit of a range stands behind its second number; write {short(plain)}", plain)
        convert = self._conversion(high)
        of_low = self._conversion(low) if low.unit is not None else convert
        if of_low != convert:
            self._refuse(f"{low.unit} and {high.unit}: both ends of a range must be in one unit")
        bottom, top = (part.value * convert.scale + convert.offset for part in (low, high))
        if bottom > top:
            self._refuse(f"the ends of {short(self.read)} are swapped; write the smaller one first")
        self._check_sign(bottom, left)
        return (bottom + top) / 2, (top - bottom) / 2

    def _ratio(self, body: str) -> Fraction:
        first, _, second = body.partition(":")
        top, bottom = self._numeral(first), self._numeral(second)
        if top.rest or bottom.rest:
            self._refuse(f"{short(body)} cannot be read; {self.kind.wish}")
        if bottom.value == 0:
            self._refuse(f"{short(body)} divides by zero")
        if self.kind is not RATIO:
            self._refuse(f"{short(body)} is a ratio; {self.kind.wish}")
        return top.value / bottom.value

    def _numeral(self, text: str) -> Numeral:
        text = text.strip()
        if _NOT_FINITE.match(text):
            self._refuse(f"{short(text)} is not a number that can be measured; leave the key out if it is not known")
        try:
            number = numeral(text)
        except ZeroDivisionError:
            self._refuse(f"{short(text)} divides by zero")
        if number is None:
            what = "there is no number" if not text else f"{short(text)} does not start with a readable number"
            self._refuse(f"{what}; {self.kind.wish}")
        return number

    def _part(self, text: str) -> _Part:
        text = text.strip()
        number = self._numeral(text)
        if not number.rest:
            return _Part(text, number.value, number.digit, None)
        foot = _FOOT.match(number.rest)
        if foot and number.rest[foot.end() :]:
            return self._feet_and_inches(text, number, number.rest[foot.end() :])
        if not is_unit_text(number.rest, self.kind) and re.search(r"(?:^|\s|[a-z]-)[+-]?\.?\d", number.rest):
            self._refuse(f"{short(text)} has two numbers and no operator; write a spread as 3.5 ± 0.2, "
                         "a range as 3.5 .. 4.2, a fraction as 10 1/2")  # fmt: skip
        return _Part(text, number.value, number.digit, number.rest)

    def _feet_and_inches(self, text: str, feet: Numeral, behind: str) -> _Part:
        inches = self._numeral(behind)
        if behind[0] in "+-" or not _INCH.fullmatch(inches.rest) or inches.value >= 12 or feet.value.denominator != 1:
            self._refuse(f"{short(text)} cannot be read as feet and inches; write them as 5 ft 3 1/2 in")
        whole = abs(feet.value) * 12 + inches.value
        return _Part(text, -whole if text.startswith("-") else whole, inches.digit, "in")

    def _conversion(self, part: _Part) -> Conversion:
        if part.unit is None:
            return Conversion(self.kind.bare_scale)
        if self.kind.whole and is_unit_text(part.unit, self.kind):
            self._refuse(
                f"{short(part.text)} has a unit, {self.kind.dimension} has none; write {part.number}", part.number
            )
        try:
            return conversion(part.unit, self.kind)
        except OtherKind as other:
            what = f"is {other.dimension}" if other.dimension else f"is not {self.kind.dimension}"
            self._refuse(f"{short(part.text)} {what}; {self.kind.wish}")
        except UnknownUnit as unknown:
            near = unknown.suggestion
            hint = f"did you mean {near}?" if near else f"{self.kind.wish}"
            self._refuse(f"{short(part.unit)} is not a known unit; {hint}", near)

    def _check_sign(self, value: Fraction, text: str) -> None:
        # As a float: 1e-999 is above zero on paper and 0.0 in every calculation.
        if value < 0 and self.sign != "any":
            self._refuse(f"{short(text.strip())} is negative; {self.kind.dimension} here cannot be less than zero")
        if self.sign == "positive" and (value == 0 or (abs(value) < 1 and float(value) == 0)):
            self._refuse(f"{short(text.strip())} is zero; {self.kind.dimension} here must be more than zero")

    def _refuse(self, why: str, suggestion: str | None = None) -> NoReturn:
        raise Unreadable(short(self.read), self.kind.wanted, why, suggestion) from None
