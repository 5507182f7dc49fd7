"""Metric screws of the trade: clearance holes, heads, pilots.

Clearance holes : ISO 273:1979, table: fine, medium, coarse series (from memory)
Heads           : countersunk, the largest theoretical diameter of ISO 10642:2004 and ISO 14581 (from memory)
Pitches         : coarse series, ISO 261:1998; pitch diameter d - 0.6495 p, ISO 724:1993 (from memory)
Pilots          : for a thread that the screw cuts itself in thermoplastics, 0.85 of its diameter; common practice, the
                  range in makers' design guides is 0.8 to 0.9
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Screw:
    """One size, mm."""

    name: str
    diameter_mm: float
    pitch_mm: float
    fine_mm: float
    medium_mm: float
    coarse_mm: float
    countersunk_head_mm: float

    @property
    def pilot_mm(self) -> float:
        """The hole that it cuts its thread in."""
        return round(0.85 * self.diameter_mm, 2)

    @property
    def pitch_diameter_mm(self) -> float:
        """Where thread and gap are as wide as each other."""
        return self.diameter_mm - 0.6495 * self.pitch_mm


SCREWS = {
    screw.name: screw
    for screw in (
        Screw(name="M2", diameter_mm=2.0, pitch_mm=0.4, fine_mm=2.2, medium_mm=2.4,
              coarse_mm=2.6, countersunk_head_mm=4.4),
        Screw(name="M2.5", diameter_mm=2.5, pitch_mm=0.45, fine_mm=2.7, medium_mm=2.9,
              coarse_mm=3.1, countersunk_head_mm=5.5),
        Screw(name="M3", diameter_mm=3.0, pitch_mm=0.5, fine_mm=3.2, medium_mm=3.4,
              coarse_mm=3.6, countersunk_head_mm=6.72),
        Screw(name="M4", diameter_mm=4.0, pitch_mm=0.7, fine_mm=4.3, medium_mm=4.5,
              coarse_mm=4.8, countersunk_head_mm=9.4),
        Screw(name="M5", diameter_mm=5.0, pitch_mm=0.8, fine_mm=5.3, medium_mm=5.5,
              coarse_mm=5.8, countersunk_head_mm=11.2),
    )
}  # fmt: skip
