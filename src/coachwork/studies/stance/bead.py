"""The tyre's bead on the rim's seat. mm, arrays (samples,)."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build import Length, Numbers, require
from coachwork.build.sections.wheels import Wheel
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class Fit(Result):
    """A tyre's dimension and the rim's it sits on."""

    tyre_mm: Numbers
    rim_mm: Numbers

    @property
    def rim_larger_mm(self) -> Numbers:
        """Positive: the tyre is stretched."""
        return self.rim_mm - self.tyre_mm


def across(wheel: Wheel) -> Fit | None:
    """Bead to bead against the seat's width; None while neither is known. Raises NotMeasured."""
    return _fit(wheel.bead_width, wheel.seat_width)


def around(wheel: Wheel) -> Fit | None:
    """The tyre's hole against the seat's diameter; None while neither is known. Raises NotMeasured."""
    return _fit(wheel.bead_diameter, wheel.seat_diameter)


def _fit(tyre: Length, rim: Length) -> Fit | None:
    """A tyre bought on its rim has no bead to measure, so the pair is asked for only once one of it is known."""
    if not any([tyre.known, rim.known]):
        return None
    require(tyre, rim)
    return Fit(tyre_mm=tyre.mm, rim_mm=rim.mm)
