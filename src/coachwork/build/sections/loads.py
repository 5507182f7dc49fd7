"""`[loads]`: what the tyres carry and how they grip."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Mass, Ratio
from coachwork.build.section import Section


class Loads(Section):
    """The finished vehicle, ready to drive; until it stands there, your best sum."""

    TABLE: ClassVar[str] = "loads"
    ORDER: ClassVar[int] = 35

    grip: Annotated[
        Ratio,
        Ask(
            how="friction of tyre on the surface you drive on: pull of a hanging scale that drags it, wheels held, "
            "divided by its weight",
            usual=(0.2, 2.0),
            guess="0.9 ± 0.3",
        ),
    ] = Ratio()
    front_share: Annotated[
        Ratio,
        Ask(
            how="share of the weight on the front wheels, from two kitchen scales", usual=(0.2, 0.8), guess="0.5 ± 0.06"
        ),
    ] = Ratio()
    mass: Annotated[
        Mass,
        Ask(
            how="all-up mass, ready to drive, on a kitchen scale; before that, your best sum of its parts",
            usual=(300, 15000),
            guess="2500 ± 800 g",
        ),
    ] = Mass()
    rolling: Annotated[
        Ratio,
        Ask(
            how="rolling resistance: pull of a hanging scale that keeps it rolling on the level, pinion out of mesh, "
            "divided by its weight; or height over length of the slope it just keeps rolling down",
            usual=(0.01, 0.3),
            guess="0.05 ± 0.03",
        ),
    ] = Ratio()
    drag: Annotated[
        Ratio,
        Ask(
            how="drag coefficient of the body, as published for its full-size fellow; matters little below 20 km/h: a "
            "box about 0.8, a low smooth body 0.4",
            usual=(0.2, 1.3),
            guess="0.7 ± 0.25",
        ),
    ] = Ratio()
