"""`[wanted]`: what you are aiming for. Every line has a usual value, so the table may be left out."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Angle, Ask, Length, Ratio, Speed, Time
from coachwork.build.section import Section
from coachwork.quantity import Source


class WantedEnd(Section):
    """How one end should stand."""

    camber: Annotated[
        Angle,
        Ask(
            how="camber you want at ride height; negative leans the top in",
            sign="any",
            usual=(-0.15, 0.15),
            guess="-1 ± 0 deg",
        ),
    ] = Angle()
    toe: Annotated[
        Angle,
        Ask(
            how="toe you want per wheel; positive points the front edges in",
            sign="any",
            usual=(-0.1, 0.1),
            guess="0 ± 0 deg",
        ),
    ] = Angle()
    tuck: Annotated[
        Length,
        Ask(
            how="how far the tyre's outer face should stand inside the arch lip",
            sign="any",
            usual=(-5, 15),
            guess="1.5 ± 0 mm",
        ),
    ] = Length()


class Wanted(Section):
    """Aims that the verdicts measure against."""

    TABLE: ClassVar[str] = "wanted"
    ORDER: ClassVar[int] = 60
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    turning_circle: Annotated[Length, Ask(how="turning circle you want, kerb to kerb", usual=(200, 4000))] = Length()
    gap: Annotated[
        Length,
        Ask(
            how="gap that should be left between moving parts and everything else, for flex, play and dirt",
            sign="not negative",
            usual=(0, 10),
            guess="0.5 ± 0 mm",
        ),
    ] = Length()
    top_speed: Annotated[
        Speed,
        Ask(
            how="top speed you want, by a stopwatch over 10 m; the full-size vehicle's divided by the scale looks "
            "right",
            usual=(500, 30000),
            guess="15 ± 0 km/h",
        ),
    ] = Speed()
    gradient: Annotated[
        Ratio,
        Ask(
            how="steepest ramp it is to start on and climb: height over length along the ground",
            sign="not negative",
            usual=(0, 1.2),
            guess="20 % ± 0 %",
        ),
    ] = Ratio()
    ramp_share: Annotated[
        Ratio,
        Ask(
            how="share of its driving time that goes up that ramp",
            sign="not negative",
            usual=(0, 0.6),
            guess="5 % ± 0 %",
        ),
    ] = Ratio()
    turn_speed: Annotated[
        Speed, Ask(how="speed you drive round its tightest turn", usual=(300, 15000), guess="4 ± 0 km/h")
    ] = Speed()
    front_share: Annotated[
        Ratio, Ask(how="share of the weight you want on the front wheels", usual=(0.2, 0.8), guess="50 % ± 0 %")
    ] = Ratio()
    start_time: Annotated[
        Time, Ask(how="seconds you take from standstill to the wanted top speed", usual=(0.5, 30), guess="3 ± 0 s")
    ] = Time()
    stop_every: Annotated[
        Time, Ask(how="how often it starts from standstill: once in how many seconds", usual=(3, 600), guess="20 ± 0 s")
    ] = Time()
    front: WantedEnd = WantedEnd()
    rear: WantedEnd = WantedEnd()
