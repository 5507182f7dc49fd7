"""Where on the vehicle a finding points to, in the chassis frame, as far as its numbers are known."""

from __future__ import annotations

import numpy as np

from coachwork.build.sections.corner import EndName
from coachwork.studies.finding import Place
from coachwork.studies.stance.across import Seat
from coachwork.studies.stance.along import Wheelbase
from coachwork.studies.stance.result import EndStance, StanceResult
from coachwork.studies.wording import first


def at_wheel(result: StanceResult, end: EndStance, part: str) -> Place:
    """The left wheel's centre: x from the axles, y from the hub face, z from ride height and tyre."""
    x = axle_x_mm(result, end.name)
    seat, ride, axle = end.seat, end.ride_height_mm, end.axle_height_mm
    if x is None or not (isinstance(seat, Seat) and isinstance(ride, np.ndarray) and isinstance(axle, np.ndarray)):
        return Place(part=part)
    return Place(part=part, point_mm=(x, first(seat.centre_mm), first(axle) - first(ride)))


def axle_x_mm(result: StanceResult, end: EndName) -> float | None:
    """The front axle is the origin; the rear one lies a wheelbase behind."""
    if end == "front":
        return 0.0
    return -first(result.wheelbase.axles_mm) if isinstance(result.wheelbase, Wheelbase) else None
