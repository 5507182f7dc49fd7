"""Numbers in the builder's units, and in both where that helps."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from coachwork.quantity import LENGTH, MASS, TEMPERATURE, Kind, Measured, brief
from coachwork.quantity.units import conversion

Lengths = Literal["mm", "in"]
_OTHER: dict[str, tuple[Kind, str]] = {"mm": (LENGTH, "in"), "g": (MASS, "oz"), "degC": (TEMPERATURE, "degF")}
_IN_SENTENCE = re.compile(r"(?<![\w.])([+-]?\d+(?:\.\d+)?) mm\b(?! of module)")


@dataclass(frozen=True)
class Units:
    """What the builder reads: millimetres alone, or inches first with millimetres behind."""

    lengths: Lengths = "mm"

    @property
    def unit(self) -> str:
        """Of a box to write a length in."""
        return self.lengths

    def length(self, mm: float, *, decimals: int = 1, both: bool = False) -> str:
        """A length; `both` for those that a shop sells by either.

        >>> Units().length(54.0), Units("in").length(54.0), Units().length(110, decimals=0, both=True)
        ('54.0 mm', '2.126 in (54.0 mm)', '110 mm (4.3 in)')
        """
        metric = f"{_round(mm, decimals)} mm"
        if self.lengths == "in":
            return f"{_round(mm / 25.4, decimals + 2)} in ({metric})"
        return f"{metric} ({_round(mm / 25.4, decimals + 1)} in)" if both else metric

    def short_length(self, mm: float) -> str:
        """A length for a drawing, where there is no room for both.

        >>> Units("in").short_length(220), Units().short_length(220)
        ('8.66 in', '220 mm')
        """
        return f"{_round(mm / 25.4, 2)} in" if self.lengths == "in" else f"{_round(mm, 0)} mm"

    def value(self, value: float, unit: str, told: str) -> str:
        """A number in any unit, as `told` says it; behind it in the other unit where the builder has one.

        >>> Units("in").value(4.35, "mm", "4.35 mm"), Units().value(4.35, "mm", "4.35 mm")
        ('4.35 mm (0.171 in)', '4.35 mm')
        """
        return f"{told}{self._behind(value, unit)}"

    def entry(self, measured: Measured) -> str:
        """A number of the build with its spread."""
        if self.lengths == "in" and measured.kind in (LENGTH, MASS, TEMPERATURE):
            unit = _OTHER[measured.kind.unit][1]
            return f"{brief(measured, unit)} ({brief(measured)})"
        return brief(measured)

    def rating(self, measured: Measured) -> str:
        """A number as on a label, its spread left out; small currents in mA.

        >>> from coachwork.quantity import CURRENT, parse
        >>> Units().rating(parse("0.02 A", CURRENT))
        '20 mA'
        """
        if measured.kind is LENGTH:
            return self.length(measured.value)
        unit = measured.kind.bare_unit
        value = (measured.value - 0.0) / float(measured.kind.bare_scale)
        if unit in ("A", "ohm", "W") and abs(value) < 1:
            unit, value = f"m{unit}", 1000 * value
        return self.value(value, unit, f"{value:.4g} {unit}".strip())

    def sentence(self, text: str) -> str:
        """A sentence whose millimetres are told in inches, too.

        >>> Units("in").sentence("take 8.7 mm out")
        'take 8.7 mm (0.343 in) out'
        """
        if self.lengths == "mm":
            return text
        return _IN_SENTENCE.sub(lambda found: f"{found[0]}{self._behind(float(found[1]), 'mm')}", text)

    def _behind(self, value: float, unit: str) -> str:
        if self.lengths == "mm" or unit not in _OTHER:
            return ""
        kind, other = _OTHER[unit]
        convert = conversion(other, kind)
        turned = (value - float(convert.offset)) / float(convert.scale)
        return f" ({_round(turned, 0 if unit == 'degC' else 3 if unit == 'mm' else 2)} {other})"


MILLIMETRES = Units()


def _round(value: float, decimals: int) -> str:
    """Never a minus before a zero."""
    return f"{value:z.{decimals}f}"


def called(name: str) -> str:
    """A name of the build file as words.

    >>> called("tie-rod-inner"), called("running-gear.front")
    ('tie-rod inner', 'running gear, front')
    """
    return ", ".join(part.replace("tie-rod", "tie~rod").replace("-", " ").replace("~", "-") for part in name.split("."))
