"""Deep-groove ball bearings of the trade, and the fit of their outer rings in a bore.

Sizes : bore x outside x width in mm; ISO 15:2017 where `iso` says so (held to another library's table in the tests),
        else thin metric sizes that hobby wheels run on, as sellers print them; common practice
Fits  : ISO 286-1:2010, tolerance grade 7, table 1; outer rings, ISO 492:2014, class Normal; from memory. The tests
        rework grade 7 from the standard's own formula, 16 i with i = 0.45 D^(1/3) + 0.001 D in micrometres
"""

from __future__ import annotations

from dataclasses import dataclass

_GRADE_7 = ((3, 0.010), (6, 0.012), (10, 0.015), (18, 0.018), (30, 0.021), (50, 0.025))  # up to, width of the zone
_RING = ((18, 0.008), (30, 0.009), (50, 0.011))  # outside diameter up to, least it may be under its size


@dataclass(frozen=True, kw_only=True)
class BallBearing:
    """One size, mm."""

    bore_mm: float
    outside_mm: float
    width_mm: float
    iso: bool

    @property
    def name(self) -> str:
        """As sellers print it.

        >>> BALL_BEARINGS["5x13x4"].name
        '5x13x4'
        """
        return "x".join(f"{value:g}" for value in (self.bore_mm, self.outside_mm, self.width_mm))


def _sizes(*sizes: tuple[float, float, float], iso: bool) -> list[BallBearing]:
    return [BallBearing(bore_mm=bore, outside_mm=outside, width_mm=width, iso=iso) for bore, outside, width in sizes]


BALL_BEARINGS = {
    bearing.name: bearing
    for bearing in (
        *_sizes((3, 10, 4), (4, 9, 2.5), (4, 11, 4), (4, 12, 4), (4, 13, 5), (5, 11, 3), (5, 13, 4), (5, 16, 5),
                (6, 13, 3.5), (6, 15, 5), (6, 19, 6), (7, 14, 3.5), (7, 17, 5), (8, 16, 4), (8, 19, 6), (8, 22, 7),
                (9, 17, 4), (10, 19, 5), (10, 22, 6), (10, 26, 8), iso=True),
        *_sizes((3, 6, 2.5), (4, 8, 3), (5, 8, 2.5), (5, 10, 4), (6, 10, 3), (6, 12, 4), (8, 12, 3.5), (8, 14, 4),
                (10, 15, 4), (12, 18, 4), (15, 21, 4), iso=False),
    )
}  # fmt: skip
"""By "bore x outside x width", without spaces."""


def bore_h7_mm(size_mm: float) -> float:
    """How much larger than its size a bore of H7 may be, and never smaller.

    >>> bore_h7_mm(10), bore_h7_mm(13)
    (0.015, 0.018)
    """
    return next(width for most, width in _GRADE_7 if size_mm <= most)


def ring_under_mm(outside_mm: float) -> float:
    """How much smaller than its size an outer ring may be, and never larger.

    >>> ring_under_mm(13)
    0.008
    """
    return next(under for most, under in _RING if outside_mm <= most)
