"""A tray-like chassis to 3 %, again from what was kept, and the same mesh in CalculiX."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from coachwork.elasticity.fittings import Fitting, Land
from coachwork.elasticity.flexibility import load
from coachwork.elasticity.job import Wanted
from coachwork.elasticity.process import flexibility_of

CASES = Path(__file__).parents[1] / "tests" / "elasticity" / "cases.py"
SCREWS = {"front": ((216, -30), (216, 30), (232, -30), (232, 30)), "rear": ((8, -30), (8, 30), (24, -30), (24, 30))}


def rows() -> Iterator[str]:
    """Seconds and ratios."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _case("solids", folder)
        start = time.perf_counter()
        kept = flexibility_of(_tray(folder), folder / "tray.npz")
        full = time.perf_counter() - start
        yield f"tray of 240 x 90 mm, {kept.elements:,} elements: {full:5.1f} s to {100 * kept.left:.1f} %"
        start = time.perf_counter()
        load(folder / "tray.npz")
        again = time.perf_counter() - start
        yield f"the same again, as it was kept: {1000 * again:.1f} ms, {full / again:,.0f} times faster"
        ours = _case("tray_for_the_clock", folder)
        start = time.perf_counter()
        done = subprocess.run(["ccx", "-i", "clock"], cwd=folder, capture_output=True, text=True, check=True,
                              env={**os.environ, "OMP_NUM_THREADS": "2"})  # fmt: skip
        theirs = time.perf_counter() - start
        if "*ERROR" in done.stdout:
            raise RuntimeError(done.stdout[-1000:])
        yield (
            f"one load, {ours['unknowns']:,.0f} unknowns, second order: ours {ours['seconds']:.1f} s, CalculiX "
            f"{theirs:.1f} s with reading and writing: {theirs / ours['seconds']:.1f} times"
        )


def _case(name: str, folder: Path) -> dict[str, float]:
    done = subprocess.run([sys.executable, CASES, name, folder], capture_output=True, text=True, check=True)
    told: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return told


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
