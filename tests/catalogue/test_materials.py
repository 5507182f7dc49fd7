"""Stiffness and strength against published ranges of printed and laminated specimens, not against our own table."""

from __future__ import annotations

import pytest

from coachwork.catalogue.materials import KNOCK_DOWNS, MATERIALS
from coachwork.catalogue.processes import PROCESSES

PSI = 0.00689476  # MPa

# additive.tools, read in 2026: sintered PA12 (its modulus is printed rounded to whole GPa), PETG and PLA in the layers.
# NEMA LI 1, grade FR-4, as laminators' sheets repeat it: least tensile strength lengthwise and crosswise 40 000 and
# 35 000 psi, flexural modulus 2.7 and 2.2 million psi; one sheet of typical values has 24.3 and 20.0 GPa.
PUBLISHED = {
    "pa12": ((1500, 2500), (44, 52), (0.88, 0.96)),
    "petg": ((2000, 3000), (44, 56), (1.25, 1.29)),
    "pla": ((3000, 4000), (50, 65), (1.22, 1.26)),
    "fr4": ((2.2e6 * PSI, 24300), (35000 * PSI - 2, 40000 * PSI), (1.80, 1.90)),
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_what_is_counted_on_lies_in_the_published_range(name: str):
    material, (modulus, strength, density) = MATERIALS[name], PUBLISHED[name]

    assert modulus[0] <= material.modulus_mpa <= modulus[1]
    assert strength[0] <= material.strength_mpa <= strength[1]
    assert density[0] <= material.density <= density[1]


def test_strength_across_layers_is_no_more_than_specimens_printed_upright_had():
    """PETG 25 to 38 MPa, PLA 35 to 45 (additive.tools): the least of each, over which nothing is counted on."""
    left = KNOCK_DOWNS["filament"].strength

    assert MATERIALS["petg"].strength_mpa * left <= 25
    assert MATERIALS["pla"].strength_mpa * left <= 35


def test_every_process_has_a_usual_material_that_is_known():
    assert {process.usual_material.casefold() for process in PROCESSES.values()} <= set(MATERIALS)
    assert set(KNOCK_DOWNS) == set(PROCESSES)
