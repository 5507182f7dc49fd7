"""The number at the start of a text: decimals and fractions, kept exact."""

import re
from dataclasses import dataclass
from fractions import Fraction

_VULGAR = {
    "½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
# An exponent of three digits covers every float; more of them would only make huge fractions.
_NUMERAL = re.compile(
    rf"""(?P<sign>[+-]?)\s*(?:
        (?:(?P<whole>\d+)(?:\s+|-))?(?P<top>\d+)/(?P<bottom>\d+)(?![\d.])
      | (?P<before>\d+)?\s*(?P<vulgar>[{"".join(_VULGAR)}])
      | (?P<decimal>\d+(?:\.(?!\.)\d*)?|\.\d+)(?:[eE](?P<power>[+-]?\d{{1,3}}))?(?![\d.]|[eE][+-]?\d)
    )""",
    re.VERBOSE | re.ASCII,
)


@dataclass(frozen=True)
class Numeral:
    """A number as written.

    digit : what one step of its last printed digit is worth (0.1 for 7.4; 1/8 for 3/8)
    rest  : the text behind it
    """

    value: Fraction
    digit: Fraction
    rest: str


def numeral(text: str) -> Numeral | None:
    """The number that a text starts with, or None; ZeroDivisionError for n/0.

    >>> numeral("-10 1/2 in")
    Numeral(value=Fraction(-21, 2), digit=Fraction(1, 2), rest='in')
    """
    match = _NUMERAL.match(text)
    if match is None:
        return None
    if match["decimal"] is not None:
        power = Fraction(10) ** int(match["power"] or 0)
        value = Fraction(match["decimal"]) * power
        digit = power / 10 ** len(match["decimal"].partition(".")[2])
    elif match["vulgar"] is not None:
        fraction = _VULGAR[match["vulgar"]]
        value = int(match["before"] or 0) + fraction
        digit = Fraction(1, fraction.denominator)
    else:
        bottom = int(match["bottom"])
        fraction = Fraction(int(match["top"]), bottom)
        if match["whole"] is not None and fraction >= 1:
            return None  # 10 7/4 is a slip of the pen
        value = int(match["whole"] or 0) + fraction
        digit = Fraction(1, bottom)
    return Numeral(-value if match["sign"] == "-" else value, digit, text[match.end() :].strip())
