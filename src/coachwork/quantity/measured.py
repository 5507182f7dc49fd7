"""A number with its spread and where it came from."""

import math
from dataclasses import dataclass

from coachwork.quantity.kinds import Kind
from coachwork.quantity.sources import Source


@dataclass(frozen=True)
class Measured:
    """A measured value, in its kind's internal unit.

    half_width : the value lies within value ± half_width, anywhere in it equally likely: the half-width of a
                 rectangular distribution (JCGM 100:2008, 4.3.7)
    Errors     : ValueError for NaN, infinity, a negative half-width, a count that is not whole

    >>> from coachwork.quantity import LENGTH, Measured, Source
    >>> Measured(267.0, 0.3, Source.CALLIPERS, LENGTH).sigma
    0.17320508075688773
    """

    value: float
    half_width: float
    source: Source
    kind: Kind

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"a measured value must be a finite number, not {self.value}")
        if not math.isfinite(self.half_width) or self.half_width < 0:
            raise ValueError(f"a half-width must be a finite number and not negative, not {self.half_width}")
        if self.kind.whole and self.value != round(self.value):
            raise ValueError(f"{self.kind.dimension} must be a whole number, not {self.value}")

    @property
    def sigma(self) -> float:
        """One standard deviation: half_width / sqrt(3) (JCGM 100:2008, equation 7)."""
        return self.half_width / math.sqrt(3)

    @property
    def low(self) -> float:
        """Lowest value it may have."""
        return self.value - self.half_width

    @property
    def high(self) -> float:
        """Highest value it may have."""
        return self.value + self.half_width
