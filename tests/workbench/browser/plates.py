"""A plate that netgen cuts for a test, named a chassis by its holes as `coachwork make` would name one."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import trimesh

from coachwork.build import read
from coachwork.plan.asked import wanted_parts
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, Hole, HoleFound, Measured, PartSolid

CUT = """
import sys, netgen.occ as occ
long, wide, thick = map(float, sys.argv[2:])
plate = occ.Box((-long, -wide / 2, 0), (0, wide / 2, thick))
for x in (-8, 8 - long):
    for y in (-wide / 4, wide / 4):
        plate -= occ.Cylinder(occ.Pnt(x, y, -1), occ.Z, r=1.6, h=thick + 2)
plate.WriteStep(sys.argv[1])
"""


def plate_made(folder: Path, *, long: float, wide: float, thick: float) -> None:
    """A flat chassis, as made, in a build's folder."""
    made = folder / MADE_FOLDER
    made.mkdir(parents=True)
    size = [str(number) for number in (long, wide, thick)]
    subprocess.run([sys.executable, "-c", CUT, str(made / "chassis.step"), *size], check=True, capture_output=True)
    shown = trimesh.creation.box((long, wide, thick))  # of its triangles, without the holes
    shown.apply_translation((-long / 2, 0.0, thick / 2))
    shown.export(made / "chassis.stl")
    ends = {"front-bolts": -8.0, "rear-bolts": 8.0 - long}
    holes = tuple(
        Hole(name=f"{end}.{side:+d}", centre_mm=(x, side * wide / 4, thick), axis=(0.0, 0.0, -1.0), diameter_mm=3.2,
             drawn_mm=3.2, depth_mm=thick, screw="M3")
        for end, x in ends.items() for side in (-1, 1)
    )  # fmt: skip
    measured = Measured(
        solids=1, valid=True, watertight=True, volume_mm3=long * wide * thick, area_mm2=2 * long * wide,
        centre_mm=(-long / 2, 0.0, thick / 2), low_mm=(-long, -wide / 2, 0.0), size_mm=(long, wide, thick),
        hull_mm=tuple((x, y, z) for x in (-long, 0.0) for y in (-wide / 2, wide / 2) for z in (0.0, thick)),
        thin=(), narrow=(), trapped_cm3=0.0, overhang_mm2={},
        holes=tuple(HoleFound(name=hole.name, off_mm=0.0, diameter_mm=3.2, edge_mm=6.4) for hole in holes),
    )  # fmt: skip
    asked = {each.name: each.fingerprint for each in wanted_parts(read(folder))}
    part = PartSolid(
        name="chassis", number="P-1", step="chassis.step", mesh="chassis.stl", content=f"{long:g}-{wide:g}-{thick:g}",
        spec=asked["chassis"] or "", process="powder-bed nylon", material="PA12", holes=holes, measured=measured,
    )  # fmt: skip
    (made / MADE_FILE).write_text(json.dumps({"format": 1, "parts": [part.to_json()]}), "utf-8")


def solvers(folder: Path) -> int:
    """How many processes of the finite elements work for a folder."""
    found = 0
    for process in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            words = process.read_bytes()
        except OSError:
            continue
        found += b"coachwork.elasticity.worker" in words and str(folder).encode() in words
    return found
