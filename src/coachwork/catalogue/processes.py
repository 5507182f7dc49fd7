"""What a process can make: its rules, each with its source.

Rules marked "common practice" are ranges that print shops' design guides agree on; from memory, no single source. Your
own shop's guide goes before them.
"""

from __future__ import annotations

from dataclasses import dataclass

GUIDES = "print shops' design guides agree; common practice, no single source"


@dataclass(frozen=True, kw_only=True)
class Process:
    """Least sizes, mm.

    wall_mm, screw_wall_mm : of any wall, and of the material round a screw's hole
    hole_mm, gap_mm  : a round hole, and a slot or the gap between two faces
    edge_diameters   : from a screw's axis to the part's edge, in hole diameters
    overhang_mm2     : area of faces under 45 degrees that may hang without support; None: the process holds them up
    spread_mm        : half-width that a bore of 10 mm scatters by
    drains           : whether what fills closed hollows must get out
    flat             : only what can be cut from a sheet
    """

    name: str
    usual_material: str
    wall_mm: float
    screw_wall_mm: float
    hole_mm: float
    gap_mm: float
    edge_diameters: float
    spread_mm: float
    overhang_mm2: float | None
    drains: bool
    flat: bool = False
    source: str = GUIDES


PROCESSES = {
    process.name: process
    for process in (
        Process(name="powder-bed nylon", usual_material="PA12", wall_mm=1.0, screw_wall_mm=1.5,
                hole_mm=1.5, gap_mm=0.5, edge_diameters=1.5, spread_mm=0.2, overhang_mm2=None, drains=True),
        Process(name="filament", usual_material="PETG", wall_mm=1.2, screw_wall_mm=1.6, hole_mm=2.0,
                gap_mm=0.4, edge_diameters=1.5, spread_mm=0.2, overhang_mm2=2500.0, drains=False),
        Process(name="resin", usual_material="resin", wall_mm=0.8, screw_wall_mm=1.5, hole_mm=0.8,
                gap_mm=0.4, edge_diameters=1.5, spread_mm=0.1, overhang_mm2=2500.0, drains=True),
        Process(name="cut sheet", usual_material="aluminium", wall_mm=1.0, screw_wall_mm=1.0,
                hole_mm=1.0, gap_mm=1.0, edge_diameters=1.5, spread_mm=0.1, overhang_mm2=None, drains=False, flat=True),
    )
}  # fmt: skip
