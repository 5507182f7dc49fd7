"""How a part is made, as far as its drawing is concerned."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build.sections.making import Making, Process
from coachwork.build.sections.parts.own import Drawn
from coachwork.studies.makeability.specs.plain import number

DRAWING = 3  # of our drawings: raised when the same spec gives another solid


@dataclass(frozen=True, kw_only=True)
class Settings:
    """What the process asks of the drawing.

    shrink_mm : holes are drawn so much larger    gap_mm : all round between parts that go together
    """

    process: Process
    shrink_mm: float
    gap_mm: float
    number: str
    revision: str
    driver_mm: float
    drawing: int = DRAWING


def settings_of(making: Making, part: Drawn | None, number_text: str) -> Settings:
    """Raises NotMeasured."""
    return Settings(
        process=(part.process if part is not None else None) or making.process,
        shrink_mm=number(making.hole_shrinks),
        gap_mm=number(making.fit_gap),
        number=number_text,
        revision=making.revision,
        driver_mm=number(making.driver_diameter),
    )
