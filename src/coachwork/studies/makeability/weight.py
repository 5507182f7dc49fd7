"""What a solid weighs: its volume in the material it is made of."""

from __future__ import annotations

from coachwork.catalogue.materials import material_of
from coachwork.studies.solids import Measured, PartSolid


def mass_g(solid: PartSolid, measured: Measured) -> float:
    """By the catalogue's density; of a material that is not in it, by that of the process's usual one."""
    material = material_of(solid.material, solid.process) or material_of("", solid.process)
    assert material is not None, "every process has a usual material"
    return measured.volume_mm3 / 1000 * material.density
