"""A live axle's curves: where it wanders to over travel and in roll."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from coachwork.geometry.vectors import Array
from coachwork.studies.chart import Chart, Line, Variant
from coachwork.studies.linkage.axle import AxleResult, AxleVariant
from coachwork.studies.parts import Part

Curve = Callable[[AxleVariant], tuple[Array, Array]]
TRAVEL = "travel of both wheels, bump positive (mm)"
ROLL = "roll, left wheel up positive (deg)"


def of_axle(end: AxleResult) -> Iterator[Chart]:
    """Curves of an end with a live axle."""

    def chart(name: str, title: str, x_label: str, y_label: str, curve: Curve) -> Chart:
        lines = tuple(_lines(end, curve))
        return Chart(
            id=f"linkage.{end.name}.{name}", title=f"{title}, {end.name}", x_label=x_label, y_label=y_label, lines=lines
        )

    yield chart("sideways", "How the axle moves sideways", TRAVEL, "to the left positive (mm)", _alike("sideways_mm"))
    yield chart("forward", "How the axle moves fore and aft", TRAVEL, "forward positive (mm)", _alike("forward_mm"))
    yield chart("roll-steer", "How the axle steers in roll", ROLL, "to the left positive (deg)", _in_roll)


def _lines(end: AxleResult, curve: Curve) -> Iterator[Line]:
    states: tuple[tuple[Variant, Part[AxleVariant]], ...] = (("as bought", end.bought), ("as changed", end.changed))
    for look, state in states:
        if isinstance(state, AxleVariant):
            x, y = curve(state)
            yield Line(name=look, variant=look, x=x, y=y)


def _alike(name: str) -> Callable[[AxleVariant], tuple[Array, Array]]:
    def curve(variant: AxleVariant) -> tuple[Array, Array]:
        return variant.left_travel_mm[0], np.diagonal(getattr(variant, name)[0])

    return curve


def _in_roll(variant: AxleVariant) -> tuple[Array, Array]:
    roll, yaw = (np.broadcast_to(a, variant.forward_mm.shape)[0] for a in (variant.poses.roll_rad, variant.yaw_rad))
    return np.degrees(np.diagonal(roll[:, ::-1])), np.degrees(np.diagonal(yaw[:, ::-1]))
