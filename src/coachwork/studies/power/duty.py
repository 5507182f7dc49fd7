"""What is asked of the vehicle over time: legs as a builder writes them, stretches as a drive computes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

LoadState = Literal["quiet", "usual", "heavy"]
GAIN_M_S2 = 1.0  # how briskly it is pulled away and slowed down where a leg's speed differs; common practice, no source


@dataclass(frozen=True, kw_only=True)
class Leg:
    """So long at such a speed, up or down such a gradient (rise over level way), with such a load on the supply.

    loads : quiet (all off, servo still), usual (lights and sound as you drive), heavy (all on, servo working hard)
    """

    seconds: float
    speed_m_s: float
    gradient: float = 0.0
    loads: LoadState = "usual"
    what: str = ""


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """A part of a leg with one steady demand; while it gains speed, at its mean speed."""

    seconds: float
    speed_m_s: float
    gain_m_s2: float
    gradient: float
    loads: LoadState
    leg: int


BUILT_IN: Mapping[str, tuple[Leg, ...]] = MappingProxyType(
    {
        "parade crawl": (
            Leg(seconds=50, speed_m_s=0.3, what="walking pace behind the band"),
            Leg(seconds=10, speed_m_s=0.0, loads="heavy", what="standing, everything on"),
        ),
        "club run": (
            Leg(seconds=12, speed_m_s=2.0, what="along the hall"),
            Leg(seconds=6, speed_m_s=0.8, loads="heavy", what="round the cones"),
            Leg(seconds=8, speed_m_s=1.5, what="back"),
            Leg(seconds=4, speed_m_s=0.0, what="a word with somebody"),
        ),
        "hill": (
            Leg(seconds=25, speed_m_s=0.6, gradient=0.20, what="up"),
            Leg(seconds=5, speed_m_s=0.0, loads="heavy", what="turning"),
            Leg(seconds=25, speed_m_s=0.6, gradient=-0.20, what="down"),
            Leg(seconds=5, speed_m_s=0.0, loads="heavy", what="turning"),
        ),
        "shuttle": (
            Leg(seconds=6, speed_m_s=1.2, what="there"),
            Leg(seconds=3, speed_m_s=0.0, loads="heavy", what="loading"),
            Leg(seconds=6, speed_m_s=1.2, what="back"),
            Leg(seconds=3, speed_m_s=0.0, loads="heavy", what="unloading"),
        ),
    }
)  # our own, invented: common practice, no source


def stretches(legs: Iterable[Leg]) -> tuple[Stretch, ...]:
    """The legs with the time for changing speed cut off their beginnings; before the first leg comes the last.

    >>> made = stretches([Leg(seconds=9, speed_m_s=2), Leg(seconds=5, speed_m_s=0)])
    >>> [(part.seconds, part.speed_m_s, part.gain_m_s2) for part in made]
    [(2.0, 1.0, 1.0), (7.0, 2, 0.0), (2.0, 1.0, -1.0), (3.0, 0, 0.0)]
    """
    legs = tuple(legs)
    made: list[Stretch] = []
    for i, leg in enumerate(legs):
        before = legs[i - 1].speed_m_s
        change = min(abs(leg.speed_m_s - before) / GAIN_M_S2, leg.seconds)
        if change > 0:
            gain = (leg.speed_m_s - before) / change  # of a leg too short for it, as briskly as it must be
            mean = (leg.speed_m_s + before) / 2
            made.append(
                Stretch(
                    seconds=change, speed_m_s=mean, gain_m_s2=gain, gradient=leg.gradient, loads=leg.loads, leg=i
                )
            )  # fmt: skip
        if leg.seconds > change:
            made.append(
                Stretch(
                    seconds=leg.seconds - change, speed_m_s=leg.speed_m_s, gain_m_s2=0.0, gradient=leg.gradient,
                    loads=leg.loads, leg=i,
                )
            )  # fmt: skip
    return tuple(made)


def mean_speed_m_s(legs: Iterable[Leg]) -> float:
    """Over a whole round, stops included."""
    parts = stretches(legs)
    return sum(part.seconds * part.speed_m_s for part in parts) / sum(part.seconds for part in parts)
