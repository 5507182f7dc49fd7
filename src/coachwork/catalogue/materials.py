"""Materials that parts are made of, as made: stiffness, strength, softening, and what the process takes off.

Tensile tests by ISO 527, softening by ISO 75, rounded. Each says where its stiffness and strength come from; what no
source is named for (Poisson's ratio, softening, snap strain) is typical of makers' data sheets, from memory. Makers
differ by some 10 to 15 %, and a print differs from a moulding: the build file can put a factor on both.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.catalogue.processes import PROCESSES

SHEETS = "makers' data sheets, typical; from memory"
OPEN = "open table of printed materials, additive.tools, read in 2026: "


@dataclass(frozen=True, kw_only=True)
class Material:
    """One material.

    modulus_mpa, strength_mpa : Young's modulus; tensile strength, of metals the yield strength
    poisson                   : Poisson's ratio
    softens_degc              : deflection temperature under 0.45 MPa (ISO 75, method B); of sheet, where its resin
                                softens; of metal, where it begins to lose its temper
    snap_strain               : strain that a snap stands at every closing: 60 % of the yield strain by the usual design
                                guides; of prints less, for sintered PA12 yields at some 10 %, its layers sooner
    density                   : g/cm3
    """

    name: str
    modulus_mpa: float
    strength_mpa: float
    poisson: float
    softens_degc: float
    snap_strain: float
    density: float
    source: str = SHEETS


MATERIALS: dict[str, Material] = {
    material.name.casefold(): material
    for material in (
        Material(name="PA12", modulus_mpa=1650, strength_mpa=46, poisson=0.39, softens_degc=150, snap_strain=0.024,
                 density=0.95, source=OPEN + "as sintered 44 to 52 MPa, about 1.7 GPa, 0.88 to 0.96 g/cm3"),
        Material(name="PA12 glass-filled", modulus_mpa=3100, strength_mpa=50, poisson=0.38, softens_degc=155,
                 snap_strain=0.015, density=1.22),
        Material(name="PETG", modulus_mpa=2000, strength_mpa=45, poisson=0.38, softens_degc=68, snap_strain=0.020,
                 density=1.27, source=OPEN + "in the layers 44 to 56 MPa, 2 to 3 GPa, 1.25 to 1.29 g/cm3"),
        Material(name="PLA", modulus_mpa=3000, strength_mpa=50, poisson=0.36, softens_degc=54, snap_strain=0.010,
                 density=1.24, source=OPEN + "in the layers 50 to 65 MPa, 3 to 4 GPa, 1.22 to 1.26 g/cm3"),
        Material(name="ABS", modulus_mpa=2000, strength_mpa=36, poisson=0.38, softens_degc=90, snap_strain=0.015,
                 density=1.04),
        Material(name="ASA", modulus_mpa=2000, strength_mpa=40, poisson=0.38, softens_degc=93, snap_strain=0.015,
                 density=1.07),
        Material(name="resin", modulus_mpa=2200, strength_mpa=48, poisson=0.40, softens_degc=58, snap_strain=0.012,
                 density=1.18),
        Material(name="aluminium", modulus_mpa=69000, strength_mpa=240, poisson=0.33, softens_degc=150,
                 snap_strain=0.002, density=2.70, source="alloy 6061-T6: EN 573, ASTM B209; from memory"),
        Material(name="carbon sheet", modulus_mpa=50000, strength_mpa=400, poisson=0.10, softens_degc=110,
                 snap_strain=0.004, density=1.55, source="woven cloth in epoxy, along its threads; common practice"),
        Material(name="FR4", modulus_mpa=20000, strength_mpa=240, poisson=0.18, softens_degc=130, snap_strain=0.006,
                 density=1.85, source="NEMA LI 1, grade FR-4, least values across the cloth: 35 000 psi and 2.2 "
                                      "million psi (15 GPa); typical 20 GPa; in use to 130 degC"),
    )
}  # fmt: skip
"""By name in small letters."""


@dataclass(frozen=True, kw_only=True)
class KnockDown:
    """What a process leaves of a moulding's stiffness and strength, across its layers, where a part is weakest."""

    stiffness: float
    strength: float
    source: str = "print shops' design guides; common practice, no single source"


ACROSS = OPEN + "across the layers PETG 25 to 38 of 44 to 56 MPa, PLA 35 to 45 of 50 to 65"
KNOCK_DOWNS = {
    "powder-bed nylon": KnockDown(stiffness=0.95, strength=0.85),
    "filament": KnockDown(stiffness=0.80, strength=0.50, source=ACROSS),
    "resin": KnockDown(stiffness=0.95, strength=0.90),
    "cut sheet": KnockDown(stiffness=1.0, strength=1.0, source="rolled or pressed: none"),
}


def material_of(name: str, process: str) -> Material | None:
    """The material named, or the usual one of the process where none is; None for a name that is not here.

    >>> material_of("", "filament").name, material_of("pa12", "powder-bed nylon").name, material_of("cheese", "resin")
    ('PETG', 'PA12', None)
    """
    return MATERIALS.get((name.strip() or PROCESSES[process].usual_material).casefold())
