"""Where a solid is held, loaded or leant on: patches of its surface, named by place, never by a face's number.

A CAD program numbers the faces of a solid as it likes, and anew after every change. A point and a radius stay.
Any one frame, mm; the chassis frame where the solid is a part of the vehicle.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, TypeAlias

Vector: TypeAlias = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class Land:
    """A round patch of a face: under a screw's head or a washer, or where a lip bears.

    normal    : of the face, either way
    radius_mm : where the pressure ends; from the middle it falls off as 1 - (r / radius)^2
    """

    at_mm: Vector
    normal: Vector
    radius_mm: float


@dataclass(frozen=True, kw_only=True)
class Bore:
    """The wall of a round hole: at_mm in the middle of the stretch that is gripped, of the length given."""

    at_mm: Vector
    axis: Vector
    radius_mm: float
    length_mm: float


@dataclass(frozen=True, kw_only=True)
class Strip:
    """A flat rectangle: a lip. The pressure falls off to all four edges, as the land's does to its rim.

    along : unit vector of the length, across the normal
    """

    at_mm: Vector
    normal: Vector
    along: Vector
    length_mm: float
    width_mm: float


Patch: TypeAlias = Land | Bore | Strip


def reach_mm(patch: Patch) -> float:
    """How far from its middle a patch extends."""
    if isinstance(patch, Land):
        return patch.radius_mm
    return math.hypot(patch.length_mm / 2, patch.radius_mm if isinstance(patch, Bore) else patch.width_mm / 2)


@dataclass(frozen=True, kw_only=True)
class Fitting:
    """Patches that share a load and whose mean motion counts: one screw, one door pad."""

    name: str
    patches: tuple[Patch, ...]


def fitting_json(fitting: Fitting) -> dict[str, Any]:
    """As plain data, for the process that computes and for the hash that results are found by."""
    patches = [asdict(patch) | {"kind": type(patch).__name__.lower()} for patch in fitting.patches]
    return {"name": fitting.name, "patches": patches}


def fitting_of(data: Mapping[str, Any]) -> Fitting:
    """The way back.

    >>> pad = Fitting(name="pad", patches=(Land(at_mm=(0.0, 0.0, 2.0), normal=(0.0, 0.0, 1.0), radius_mm=3.0),))
    >>> fitting_of(fitting_json(pad)) == pad
    True
    """
    return Fitting(name=data["name"], patches=tuple(_patch(patch) for patch in data["patches"]))


def _patch(data: Mapping[str, Any]) -> Patch:
    kind: type[Land | Bore | Strip] = {"land": Land, "bore": Bore, "strip": Strip}[data["kind"]]
    held: dict[str, Any] = {key: _vector(value) if isinstance(value, Sequence) else float(value)
            for key, value in data.items() if key != "kind"}  # fmt: skip
    return kind(**held)


def _vector(numbers: Sequence[float]) -> Vector:
    x, y, z = (float(number) for number in numbers)
    return x, y, z
