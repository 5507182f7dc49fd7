"""What a solid weighs: its volume in the material it is made of."""

from __future__ import annotations

from coachwork.catalogue.processes import DENSITIES, PROCESSES
from coachwork.studies.solids import Measured, PartSolid


def mass_g(solid: PartSolid, measured: Measured) -> float:
    """By the catalogue's density; of a material that is not in it, by that of the process's usual one."""
    density = DENSITIES.get(solid.material.strip().upper(), PROCESSES[solid.process].density)
    return measured.volume_mm3 / 1000 * density
