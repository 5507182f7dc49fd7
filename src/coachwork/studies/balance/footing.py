"""Where the vehicle stands: wheelbase, tracks, and the ground under the chassis's flat underside. mm, (samples,)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import NotMeasured, Numbers
from coachwork.build.sections.corner import EndName
from coachwork.studies.parts import Missing, attempt, need
from coachwork.studies.result import Result
from coachwork.studies.stance.result import StanceResult

ENDS: tuple[EndName, EndName] = ("front", "rear")


@dataclass(frozen=True, kw_only=True, eq=False)
class Footing(Result):
    """Both axles; heights over the datum plane are negative below it."""

    wheelbase_mm: Numbers
    half_track_mm: Mapping[EndName, Numbers]
    ride_height_mm: Mapping[EndName, Numbers]  # as wanted, or as measured where nothing else is wanted
    axle_mm: Mapping[EndName, Numbers]  # wheel centres over the datum plane

    def between(self, what: Literal["half_track_mm", "ride_height_mm", "axle_mm"], x_mm: Numbers) -> Numbers:
        """A height or width between the axles at x, on the straight line from one to the other."""
        pair: Mapping[EndName, Numbers] = getattr(self, what)
        return np.asarray(pair["front"] + (pair["rear"] - pair["front"]) * (-x_mm / self.wheelbase_mm))


def footing(stance: StanceResult) -> Footing:
    """From where stance puts wheels and ground. Raises NotMeasured naming all that it lacks."""

    def half_track(end: EndName) -> Numbers:
        return need(stance.ends[end].seat).centre_mm

    parts = {
        "wheelbase": attempt(lambda: need(stance.wheelbase).axles_mm),
        **{f"seat {end}": attempt(half_track, end) for end in ENDS},
        **{f"ride {end}": stance.ends[end].ride_height_mm for end in ENDS},
        **{f"axle {end}": stance.ends[end].axle_height_mm for end in ENDS},
    }
    if keys := [key for part in parts.values() if isinstance(part, Missing) for key in part.keys]:
        raise NotMeasured(keys)
    at = {name: need(part) for name, part in parts.items()}
    return Footing(
        wheelbase_mm=at["wheelbase"],
        half_track_mm={end: at[f"seat {end}"] for end in ENDS},
        ride_height_mm={end: at[f"ride {end}"] for end in ENDS},
        axle_mm={end: at[f"axle {end}"] - at[f"ride {end}"] for end in ENDS},
    )
