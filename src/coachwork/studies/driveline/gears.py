"""Pinion and spur: ratio, centres, and which teeth the motor's slot can reach.

Source : standard centres a = m (z1 + z2) / 2 of unshifted spur gears, ISO 21771; modules of ISO 54; m = 25.4 / P
         for teeth to the inch. All from memory
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.result import Result

MM_PER_INCH = 25.4
# So that teeth do not bind: a strip of copying paper between them when the motor is set; common practice, no source.
MESH_GAP_MM = 0.1


@dataclass(frozen=True, kw_only=True, eq=False)
class Gears(Result):
    """What turns between motor and wheels, arrays (samples,)."""

    pinion_teeth: Numbers
    spur_teeth: Numbers
    internal_ratio: Numbers

    @property
    def ratio(self) -> Numbers:
        """Turns of the motor for one of the wheels."""
        return self.spur_teeth / self.pinion_teeth * self.internal_ratio


@dataclass(frozen=True, kw_only=True, eq=False)
class Mesh(Result):
    """Where the motor has to stand and where its slot lets it stand, shaft to shaft, (samples,)."""

    module_mm: Numbers
    pinion_teeth: Numbers
    spur_teeth: Numbers
    least_mm: Numbers
    most_mm: Numbers

    @property
    def centres_mm(self) -> Numbers:
        """Wanted between the shafts."""
        return centres_mm(module_mm=self.module_mm, teeth=self.pinion_teeth + self.spur_teeth)

    @property
    def outside_mm(self) -> Numbers:
        """How far the wanted place lies beyond the slot's nearer end; negative for how far inside."""
        return np.maximum(self.centres_mm - self.most_mm, self.least_mm - self.centres_mm)

    def teeth_within(self) -> tuple[Numbers, Numbers]:
        """Fewest and most teeth of pinion and spur together that the slot takes."""
        least, most = ((end - MESH_GAP_MM) * 2 / self.module_mm for end in (self.least_mm, self.most_mm))
        return np.ceil(least - 1e-9), np.floor(most + 1e-9)


def centres_mm(*, module_mm: Numbers, teeth: Numbers) -> Numbers:
    """Shaft to shaft for two gears with so many teeth together, with the gap that keeps them from binding.

    >>> float(centres_mm(module_mm=np.array(0.5), teeth=np.array(100.0)))
    25.1
    """
    return np.asarray(module_mm * teeth / 2 + MESH_GAP_MM)


def rollout_mm(*, radius_mm: Numbers, ratio: Numbers) -> Numbers:
    """Way on the ground for one turn of the motor."""
    return np.asarray(2 * np.pi * radius_mm / ratio)
