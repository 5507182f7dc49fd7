"""The drive shaft between gearbox and wheel: its length, how it plunges, how far its joints bend.

gearbox cup |=o------------- shaft -------------o=| stub axle        o: joint centres
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, angle_between, length


@dataclass(frozen=True, eq=False, kw_only=True)
class ShaftPoses:
    """One drive shaft in many poses; every array (...)."""

    distance_mm: Array  # between joint centres; its change is the plunge
    inner_angle_rad: Array  # by which the joint at the gearbox bends, 0: straight
    outer_angle_rad: Array  # by which the joint at the wheel bends


def shaft_poses(
    carrying: Motion, *, inner_centre: Array, outer_centre: Array, inner_axis: Array, outer_axis: Array
) -> ShaftPoses:
    """Joint centres and the axes of gearbox output and stub axle, drawn, both axes outboard: (..., 3).

    carrying : the body with the stub axle, the knuckle
    """
    shaft = carrying.at(outer_centre) - inner_centre
    return ShaftPoses(
        distance_mm=length(shaft),
        inner_angle_rad=angle_between(shaft, inner_axis),
        outer_angle_rad=angle_between(shaft, carrying.turn(outer_axis)),
    )


@dataclass(frozen=True, eq=False, kw_only=True)
class ShaftFit:
    """The shaft length that suits a range of centre distances; every array (...)."""

    length_mm: Array  # between joint centres with the shaft pushed in to the end
    margin_mm: Array  # left at either end of the plunge; negative: no length does


def shaft_length(distance_mm: Array, *, plunge_mm: Array, axis: int | tuple[int, ...] | None = None) -> ShaftFit:
    """The length with equal room at both ends of the range, over the poses along `axis`.

    distance_mm : joint centres' distance in all poses, travel and lock
    plunge_mm   : how far the shaft can come out of its fully pushed-in place, (...)
    It bottoms where the distance falls below the length, and falls out where it exceeds length + plunge, so any length
    from largest - plunge to smallest does; the middle of these leaves the most.
    """
    smallest, largest = np.min(distance_mm, axis=axis), np.max(distance_mm, axis=axis)
    return ShaftFit(
        length_mm=0.5 * (smallest + largest - plunge_mm), margin_mm=0.5 * (plunge_mm - (largest - smallest))
    )
