"""What unit a mesh file is in: mostly it does not say, so the shell's length has to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.errors import Unsure
from coachwork.scans.mesh import Mesh

MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4, "ft": 304.8, "m": 1000.0}
SHORTEST_MM, LONGEST_MM = 150.0, 800.0  # hard bodies from 1:24 to 1:8; common practice, no source
NEAR = 1.4  # a length this many times off its expectation is still that unit: the next unit is 2.5 times away


@dataclass(frozen=True, kw_only=True)
class Unit:
    """The unit taken, and why."""

    name: str
    why: str

    @property
    def mm(self) -> float:
        """Millimetres in one of it."""
        return MM_PER_UNIT[self.name]


def longest_side(mesh: Mesh) -> float:
    """About the length of the body, whatever its pose, in the file's unit: along the axis of greatest inertia."""
    middle = np.average(mesh.centroids, axis=0, weights=mesh.areas)
    away = mesh.centroids - middle
    _, axes = np.linalg.eigh((away * mesh.areas[:, None]).T @ away)
    return float(np.ptp(mesh.vertices @ axes[:, -1]))


def unit_of(side: float, *, asked: str | None, declared: str | None, expected_mm: float | None, told: str) -> Unit:
    """The unit of a mesh whose longest side is `side` of it.

    asked       : what the builder says, which is taken
    declared    : what the file says, which is taken where the length does not speak against it
    expected_mm : the length the shell should have, by what `told` names
    Raises      : Unsure where several units, or none, make a sensible length
    """
    if asked is not None:
        return Unit(name=asked, why="as told")
    low, high = (SHORTEST_MM, LONGEST_MM) if expected_mm is None else (expected_mm / NEAR, expected_mm * NEAR)
    fits = [name for name, mm in MM_PER_UNIT.items() if low <= side * mm <= high]
    if declared in fits:
        return Unit(
            name=declared, why=f"the file says so, and then it is about {side * MM_PER_UNIT[declared]:.0f} mm long"
        )
    reason = (f"a shell is {SHORTEST_MM:.0f} to {LONGEST_MM:.0f} mm long" if expected_mm is None
              else f"{told} makes it {expected_mm:.0f} mm long")  # fmt: skip
    if len(fits) == 1:
        also = f"; the file says {declared}, which cannot be" if declared is not None else ""
        return Unit(name=fits[0], why=f"then it is about {side * MM_PER_UNIT[fits[0]]:.0f} mm long, and {reason}{also}")
    lengths = ", ".join(f"{side * mm:.4g} mm if in {name}" for name, mm in MM_PER_UNIT.items())
    could = " or ".join(fits) if fits else "none of the usual units"
    raise Unsure(f"the mesh's unit: its longest side is {side:.4g}, that is {lengths}; {reason}, it could be {could}. "
                 "Say which: --units mm")  # fmt: skip
