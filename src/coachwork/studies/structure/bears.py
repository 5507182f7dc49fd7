"""What a part's material bears, as made."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.structure import Structure
from coachwork.catalogue.materials import KNOCK_DOWNS, Material, material_of
from coachwork.studies.parts import CannotBe


def of_catalogue(part: str, name: str, process: str) -> Material:
    material = material_of(name, process)
    if material is None:
        raise CannotBe(f"{part}: there is no material {name} in the catalogue")
    return material


def strength_mpa(material: Material, process: str, asked: Structure) -> Numbers:
    """Across the layers, where it is least."""
    return np.asarray(material.strength_mpa * KNOCK_DOWNS[process].strength * asked.strength_factor.ratio)
