"""The study's numbers as a builder says them: poses, ends, millimetres, degrees."""

from __future__ import annotations

import numpy as np

from coachwork.geometry.vectors import Array
from coachwork.studies.linkage.sweep import CornerSweep


def greatest(array: Array, axis: int | tuple[int, ...]) -> Array:
    """Largest along axes, poses that do not exist left out; NaN where none exists."""
    return _but_nan(np.where(np.isnan(array), -np.inf, array).max(axis=axis))


def least(array: Array, axis: int | tuple[int, ...]) -> Array:
    """Smallest along axes, poses that do not exist left out; NaN where none exists."""
    return _but_nan(np.where(np.isnan(array), np.inf, array).min(axis=axis))


def _but_nan(array: Array) -> Array:
    return np.where(np.isinf(array), np.nan, array)


def pose_of(swept: CornerSweep, where: tuple[int, int]) -> str:
    """A pose of the first sample in words: "in 6.0 mm of bump, steered 22 deg to the left"."""
    return f"{travel_of(swept, where[0])}{steer_of(swept, where)}"


def travel_of(swept: CornerSweep, index: int) -> str:
    """Where the wheel is on its travel, first sample."""
    shares = index - swept.ride
    mm = float(swept.travel_mm[0, index]) if np.isfinite(swept.travel_mm[0, index]) else float("nan")
    if shares == 0:
        return "at ride height"
    full = "full " if abs(shares) == swept.ride else ""
    how = "bump" if shares > 0 else "droop"
    return f"in {full}{how} ({abs(mm):.1f} mm)" if np.isfinite(mm) else f"in {full}{how}"


def steer_of(swept: CornerSweep, where: tuple[int, int]) -> str:
    """How far that pose is steered, first sample; nothing at an unsteered end."""
    if swept.tie_rod_inner is None:
        return ""
    off = where[1] - swept.straight
    if off == 0:
        return ", straight ahead"
    angle = swept.steer_rad[0][where]
    full = "at full lock" if abs(off) == swept.straight else "steered"
    side = "left" if off > 0 else "right"
    return f", {full} to the {side}" + (f" ({abs(np.degrees(angle)):.0f} deg)" if np.isfinite(angle) else "")


def where_greatest(array: Array) -> tuple[int, int]:
    """The pose (travel, steer) of the first sample where an array is largest."""
    flat = np.where(np.isnan(array[0]), -np.inf, array[0])
    travel, steer = np.unravel_index(int(flat.argmax()), flat.shape)
    return int(travel), int(steer)


def where_least(array: Array) -> tuple[int, int]:
    """The pose (travel, steer) of the first sample where an array is smallest."""
    return where_greatest(-array)


def signed(mm: Array | float, things: tuple[str, str] = ("longer", "shorter")) -> str:
    """A change in words: "2.1 mm shorter"."""
    value = float(np.atleast_1d(mm)[0])
    return f"{abs(value):.1f} mm {things[0] if value >= 0 else things[1]}"
