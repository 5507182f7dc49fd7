"""What was seen at a stop, as plain words and numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A number and its standard deviation."""

    value: float
    sigma: float


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One stop. Whatever was not looked at is left out.

    seconds                  : from switching on to the stop
    before_v, after_v        : the pack's resting volts
    degc                     : by lump (controller, motor can, regulator, pack), a thermometer's
    felt                     : by lump, one of `simulated.TOUCH`
    signs                    : by sign, one of its outcomes (`signs.SIGNS`)
    """

    seconds: float | None = None
    before_v: Reading | None = None
    after_v: Reading | None = None
    degc: Mapping[str, Reading] = field(default_factory=dict)
    felt: Mapping[str, str] = field(default_factory=dict)
    signs: Mapping[str, str] = field(default_factory=dict)
