"""Curves of balance: what the springs carry over travel, beside what stands on them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.balance.footing import ENDS
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.chart import Chart, Line
from coachwork.studies.parts import is_missing


def charts(result: BalanceResult) -> Iterator[Chart]:
    """One an axle; none while its springs or the weight are not measured."""
    if is_missing(result.settled):
        return
    for end in ENDS:
        springs = result.springs[end]
        if is_missing(springs):
            continue
        z = np.linspace(float(springs.reach.travel_mm[0, 0]), float(springs.reach.travel_mm[0, -1]), 61)
        held = np.array([float(springs.at_wheels_n(np.array([each]))[0]) for each in z])
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
            note="It settles where the two meet.",
        )
