"""Battery cells by chemistry: the volts between which one lives. All of it common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build.sections.pack import Chemistry


@dataclass(frozen=True, kw_only=True)
class Cell:
    """Volts of one cell.

    full_v  : at rest, freshly charged            low_v   : at rest, when it is time to stop
    least_v : under load; lower harms it          rest_v  : the span in which it is at rest in any state of charge
    """

    full_v: float
    nominal_v: float
    low_v: float
    least_v: float
    rest_v: tuple[float, float]


CELLS: dict[Chemistry, Cell] = {
    "lithium polymer": Cell(full_v=4.20, nominal_v=3.7, low_v=3.6, least_v=3.0, rest_v=(3.3, 4.3)),
    "lithium ion": Cell(full_v=4.20, nominal_v=3.6, low_v=3.4, least_v=2.8, rest_v=(3.0, 4.3)),
    "lithium iron phosphate": Cell(full_v=3.50, nominal_v=3.2, low_v=3.1, least_v=2.5, rest_v=(2.8, 3.7)),
    "nickel metal hydride": Cell(full_v=1.40, nominal_v=1.2, low_v=1.15, least_v=0.9, rest_v=(1.1, 1.5)),
}
