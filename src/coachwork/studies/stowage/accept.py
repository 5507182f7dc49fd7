"""From a placement in steps of the grid back to places as the build file has them."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.studies.stowage.problem import Problem
from coachwork.studies.stowage.solve import Placement
from coachwork.studies.stowage.turns import Turn


@dataclass(frozen=True, kw_only=True)
class Accepted:
    """The place of one box: middle of its footprint in the chassis frame."""

    name: str
    on: str
    x_mm: float
    y_mm: float
    turn: Turn
    stays: bool


def accepted(problem: Problem, placement: Placement) -> tuple[Accepted, ...]:
    """In the order of the build file. The box lies in the middle of the whole steps it was rounded up to."""
    places = []
    for item in problem.items:
        spot = placement.spots[item.name]
        pose = item.poses[spot.pose]
        x, y = (
            round(problem.origin_mm[a] + problem.step_mm * (spot.corner[a] + pose.size[a] / 2), 3) + 0.0
            for a in range(2)
        )
        places.append(
            Accepted(name=item.name, on=spot.on, x_mm=x, y_mm=y, turn=pose.turn, stays=item.fixed is not None)
        )
    return tuple(places)
