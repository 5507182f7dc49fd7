"""How far a reading may be off when the builder does not say: defaults by instrument and kind, settable."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

from coachwork.quantity.kinds import (
    ANGLE,
    AREA,
    CHARGE,
    COUNT,
    CURRENT,
    ENERGY,
    FORCE,
    FREQUENCY,
    LENGTH,
    MASS,
    MINUTES,
    MOTOR_CONSTANT,
    POWER,
    PULSE,
    RESISTANCE,
    ROTATION,
    SPEED,
    TEMPERATURE,
    TIME,
    VOLTAGE,
    Kind,
)  # fmt: skip
from coachwork.quantity.sources import Source


@dataclass(frozen=True, kw_only=True)
class Spread:
    """A half-width: the largest of a fixed part, a share of the value, and a multiple of the last digit printed.

    >>> Spread(absolute=0.5, relative=0.02).half_width(value=267.0, digit=1.0)
    5.34
    """

    absolute: float = 0.0  # internal unit of the kind
    relative: float = 0.0
    digits: float = 0.0

    def half_width(self, *, value: float, digit: float) -> float:
        """Half-width of a reading `value` whose last printed digit is worth `digit`, both in the internal unit."""
        return max(self.absolute, self.relative * abs(value), self.digits * digit)


_DEG = float(ANGLE.bare_scale)

# The half digit of a label is JCGM 100:2008, F.2.2.1 (resolution of a digital indication). The others are common
# practice, no source: what a careful amateur gets with ordinary tools, which is more than the tool's own certificate.
_RULES: dict[tuple[Source, Kind | None], Spread] = {
    (Source.CALLIPERS, LENGTH): Spread(absolute=0.1),
    (Source.CALLIPERS, AREA): Spread(relative=0.02),
    (Source.RULER, LENGTH): Spread(absolute=0.5),
    (Source.TAPE, LENGTH): Spread(absolute=1.0),
    (Source.GAUGE, ANGLE): Spread(absolute=0.5 * _DEG),
    (Source.GAUGE, LENGTH): Spread(absolute=0.05),
    (Source.SCALES, MASS): Spread(absolute=1.0),
    (Source.SCALES, FORCE): Spread(absolute=0.1),
    (Source.METER, VOLTAGE): Spread(absolute=0.01, relative=0.005),
    (Source.METER, CURRENT): Spread(absolute=0.01, relative=0.015),
    (Source.METER, RESISTANCE): Spread(absolute=0.1, relative=0.01),  # the leads alone are about 0.1 ohm
    (Source.METER, POWER): Spread(relative=0.02),
    (Source.METER, ENERGY): Spread(relative=0.02),
    (Source.METER, CHARGE): Spread(relative=0.02),
    (Source.METER, TEMPERATURE): Spread(absolute=2.0),
    (Source.METER, TIME): Spread(absolute=0.5),
    (Source.METER, MINUTES): Spread(absolute=30.0),  # told to the minute
    (Source.METER, PULSE): Spread(absolute=5.0),  # a servo tester's display
    (Source.METER, SPEED): Spread(relative=0.03),
    (Source.METER, ROTATION): Spread(relative=0.01),
    (Source.METER, MOTOR_CONSTANT): Spread(relative=0.02),  # a rev counter and a voltmeter
    (Source.METER, FREQUENCY): Spread(relative=0.001),
    (Source.COUNTING, COUNT): Spread(),
    (Source.LABEL, None): Spread(digits=0.5),
    (Source.LABEL, COUNT): Spread(),
    (Source.PUBLISHED, None): Spread(relative=0.01),
    (Source.PUBLISHED, LENGTH): Spread(absolute=5.0),  # of the full-size vehicle
    (Source.PUBLISHED, ANGLE): Spread(absolute=0.5 * _DEG),
    (Source.PUBLISHED, TEMPERATURE): Spread(absolute=1.0),
    (Source.PUBLISHED, COUNT): Spread(),
    (Source.PHOTO, LENGTH): Spread(relative=0.02),
    (Source.PHOTO, AREA): Spread(relative=0.04),
    (Source.PHOTO, ANGLE): Spread(absolute=1.0 * _DEG),
    (Source.PHOTO, COUNT): Spread(),
    (Source.SCAN, LENGTH): Spread(absolute=0.3),
    (Source.SCAN, AREA): Spread(relative=0.01),
    (Source.SCAN, ANGLE): Spread(absolute=0.5 * _DEG),
    (Source.COMPUTED, None): Spread(relative=0.01),
    (Source.COMPUTED, TEMPERATURE): Spread(absolute=1.0),
    (Source.COMPUTED, COUNT): Spread(),
    (Source.CHOSEN, None): Spread(),
    (Source.GUESS, None): Spread(relative=0.2),
    (Source.GUESS, ANGLE): Spread(absolute=2.0 * _DEG, relative=0.2),  # a guessed 0 deg of camber is not exact
    (Source.GUESS, TEMPERATURE): Spread(absolute=5.0),  # 20 % of 0 degC would be nothing
    (Source.GUESS, COUNT): Spread(absolute=1.0, relative=0.2),
}


@dataclass(frozen=True)
class Spreads:
    """The spread to assume, by source and kind; a rule with kind None serves every kind without its own."""

    rules: Mapping[tuple[Source, Kind | None], Spread] = field(default_factory=lambda: MappingProxyType(_RULES))

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:  # asked for with every number that is read
        return hash(frozenset(self.rules.items()))

    def of(self, source: Source, kind: Kind) -> Spread | None:
        """The rule for a reading, or None where this source does not measure that kind (callipers, a voltage)."""
        return self.rules.get((source, kind)) or self.rules.get((source, None))

    def replacing(self, source: Source, kind: Kind | None, spread: Spread) -> "Spreads":
        """A copy with one rule set; `kind` None sets it for all kinds that have no rule of their own.

        >>> mine = DEFAULT.replacing(Source.RULER, LENGTH, Spread(absolute=0.25))
        >>> mine.of(Source.RULER, LENGTH)
        Spread(absolute=0.25, relative=0.0, digits=0.0)
        """
        return Spreads(MappingProxyType({**self.rules, (source, kind): spread}))


DEFAULT = Spreads()
"""The defaults, before the builder sets their own."""
