"""Curves of balance: what the springs carry over travel, beside what stands on them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.balance.footing import ENDS
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.balance.ride import Ride
from coachwork.studies.chart import Chart, Line
from coachwork.studies.parts import Part, is_missing


def charts(result: BalanceResult) -> Iterator[Chart]:
    """One an axle; none while its springs or the weight are not measured."""
    if is_missing(result.settled):
        return
    for end in ENDS:
        springs = result.springs[end]
        if is_missing(springs):
            continue
        z = np.linspace(float(springs.reach.travel_mm[0, 0]), float(springs.reach.travel_mm[0, -1]), 61)
        held = springs.at_wheels_n(z)
        load = np.full_like(z, float(result.settled.sprung_n[end][0]))
        yield Chart(
            id=f"balance.{end}.springs",
            title=f"What the {end} springs hold up",
            x_label="wheels up from the wanted ride height (mm)",
            y_label="at the ground, both wheels (N)",
            lines=(
                Line(name="springs", variant="as changed", x=z, y=held),
                Line(name="weight on them", variant="reference", x=z, y=load),
            ),
            note=_settles(result.ride[end]),
        )


def _settles(ride: Part[Ride]) -> str:
    stop = 0.0 if is_missing(ride) else float(ride.at_stop[0])
    if stop:
        return f"The two do not meet: it rests on its {'bump' if stop > 0 else 'droop'} stops."
    return "It settles where the two meet."
