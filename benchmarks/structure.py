"""A tray-like chassis and the finished van's to 3 %, again from what was kept, and the same meshes in CalculiX."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from coachwork.elasticity.fittings import Fitting, Land
from coachwork.elasticity.flexibility import load
from coachwork.elasticity.job import Wanted, job_json
from coachwork.elasticity.process import flexibility_of

ROOT = Path(__file__).parents[1]
CASES = ROOT / "tests" / "elasticity" / "cases.py"
VAN = ROOT / "examples" / "harbour-mail-van" / "as-finished"
SCREWS = {"front": ((216, -30), (216, 30), (232, -30), (232, 30)), "rear": ((8, -30), (8, 30), (24, -30), (24, 30))}


def rows() -> Iterator[str]:
    """Seconds and ratios."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _case("solids", folder)
        yield from _computed("tray of 240 x 90 mm", _tray(folder), folder / "tray.npz")
        yield _in_calculix("tray_for_the_clock", folder)
        chassis = _van(folder)
        yield from _computed("the finished van's chassis, door's pads and all", chassis, folder / "van.npz")
        screws = tuple(fitting for fitting in chassis.fittings if "-bolts." in fitting.name)
        (folder / "job.json").write_text(json.dumps(job_json(replace(chassis, fittings=screws))), "utf-8")
        yield _in_calculix("van_for_the_clock", folder)


def _computed(words: str, wanted: Wanted, place: Path) -> Iterator[str]:
    start = time.perf_counter()
    kept = flexibility_of(wanted, place)
    full = time.perf_counter() - start
    yield f"{words}, {kept.elements:,} elements: {full:5.1f} s to {100 * kept.left:.1f} %"
    start = time.perf_counter()
    load(place)
    again = time.perf_counter() - start
    yield f"the same again, as it was kept: {1000 * again:.1f} ms, {full / again:,.0f} times faster"


def _in_calculix(case: str, folder: Path) -> str:
    ours = _case(case, folder)
    start = time.perf_counter()
    done = subprocess.run(["ccx", "-i", "clock"], cwd=folder, capture_output=True, text=True, check=True,
                          env={**os.environ, "OMP_NUM_THREADS": "2"})  # fmt: skip
    theirs = time.perf_counter() - start
    if "*ERROR" in done.stdout:
        raise RuntimeError(done.stdout[-1000:])
    return (
        f"one load, {ours['unknowns']:,.0f} unknowns, second order: ours {ours['seconds']:.1f} s, CalculiX "
        f"{theirs:.1f} s with reading and writing: {theirs / ours['seconds']:.1f} times"
    )


def _case(name: str, folder: Path) -> dict[str, float]:
    done = subprocess.run([sys.executable, CASES, name, folder], capture_output=True, text=True, check=True)
    told: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return told


def _van(folder: Path) -> Wanted:
    """Drawn here; its drawing is not in the time."""
    from coachwork.build import read
    from coachwork.parts.making import make_all
    from coachwork.studies.makeability.specs.every import every_part
    from coachwork.studies.makeability.specs.tables import PartTables
    from coachwork.studies.structure.jobs import CHASSIS, job_of

    place = folder / "van"
    shutil.copytree(VAN, place, ignore=shutil.ignore_patterns(".coachwork", "parts"))
    build = read(place)
    wanted = [each for each in every_part(PartTables.of(build)) if each.name == CHASSIS]
    return job_of(make_all(build, wanted, tell=lambda _, __: None).parts[CHASSIS])


def _tray(folder: Path) -> Wanted:
    screws = tuple(
        Fitting(name=f"{end}.{k}", patches=(Land(at_mm=(x, y, 4.0), normal=(0.0, 0.0, 1.0), radius_mm=3.2),))
        for end, places in SCREWS.items() for k, (x, y) in enumerate(places)
    )  # fmt: skip
    return Wanted(
        path=folder / "tray.step", poisson=0.39, fittings=screws,
        blocks={end: tuple(f"{end}.{k}" for k in range(4)) for end in SCREWS},
        watch={"twist": {"front": (0, 0, 0, 1, 0, 0), "rear": (0, 0, 0, -1, 0, 0)},
               "bending": {"front": (0, 0, 0, 0, 1, 0), "rear": (0, 0, 0, 0, -1, 0)}},
    )  # fmt: skip
