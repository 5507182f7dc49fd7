"""Opening a scan and finding the shell in it, at 225,000 and 2 million triangles; memory; how often spreads hold.

Baseline: the mesh library reading the same file and merging its equal points, with nothing found in it.
"""

import importlib.util
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import numpy as np

from benchmarks.rows import Row, per_second
from coachwork.scans.found import find_shell
from coachwork.scans.hints import Hints
from coachwork.scans.loading import measured, opened
from coachwork.scans.mesh import tidy

SCRIPT = Path(__file__).parents[1] / "examples" / "harbour-mail-van" / "make_shell.py"
HINTS = Hints(length_mm=448.0, front_overhang_mm=82.0, rear_overhang_mm=94.0)
STEPS_MM = (2.2, 0.735)  # between points: some 225,000 and 2,000,000 triangles
SEEDS = range(100, 120)

# The kernel's own mark: what getrusage tells of a child begins with its parent's peak.
_PEAK = """
import re, sys
from pathlib import Path
from benchmarks.scans import HINTS
from coachwork.scans.loading import measured, opened

def peak_mb():
    return int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) // 1024

before = peak_mb()
measured(opened(Path(sys.argv[1]), HINTS, unit=None), HINTS)
print(peak_mb(), before)
"""


def rows() -> Iterator[Row | str]:
    """Triangles a second, peaks, and shares."""
    script = _script()
    with tempfile.TemporaryDirectory() as folder:
        for step in STEPS_MM:
            file = Path(folder) / "shell.stl"
            made = script.make(step=step)
            script.write_stl(file, made.vertices, made.faces)
            yield from _of_one(file, len(made.faces))
    yield _coverage(script)


def _of_one(file: Path, triangles: int) -> Iterator[Row | str]:
    import trimesh

    library = per_second(lambda: trimesh.load_mesh(file), things=triangles)
    baseline = "the mesh library's reading"
    yield Row(name=f"open {triangles:,} triangles", baseline=baseline, baseline_per_second=library,
              per_second=per_second(lambda: opened(file, HINTS, unit=None), things=triangles))  # fmt: skip
    mesh = opened(file, HINTS, unit=None)
    find = per_second(lambda: measured(mesh, HINTS), things=triangles)
    yield Row(name=f"find the shell in {triangles:,} triangles", baseline=baseline, baseline_per_second=library,
              per_second=find)  # fmt: skip
    done = subprocess.run([sys.executable, "-c", _PEAK, str(file)], capture_output=True, text=True, check=True)
    peak, before = map(int, done.stdout.split())
    yield f"peak memory, {triangles:,} triangles: {peak} MB, of which {before} MB before the file is opened"


def _coverage(script: ModuleType) -> str:
    """How often the truth lies within the arches' own spreads, and the largest errors, over scans and poses."""
    within, worst = [], np.zeros(3)
    for seed in SEEDS:
        made = script.make(seed=seed, step=4.0, noise=0.03 + 0.01 * (seed % 10), holes=seed % 40)
        mesh = tidy(made.vertices, made.faces)
        found = find_shell(mesh, mm_per_file_unit=1.0, hints=HINTS, random=np.random.default_rng(20))
        for wheel, arch in found.arches.items():
            truth = made.truth["arches"][wheel]
            errors = np.abs([arch.x - truth["x"], arch.z - truth["z"], arch.radius - truth["radius"]])
            within += list(errors <= [arch.half_x, arch.half_z, arch.half_radius])
            worst = np.maximum(worst, errors)
    return (f"{len(SEEDS)} scans, {len(within)} arch numbers: {np.mean(within):.1%} within their spreads; "
            f"largest errors {worst[0]:.2f} mm along, {worst[1]:.2f} mm up, {worst[2]:.2f} mm of radius")  # fmt: skip


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_shell", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_shell"] = module  # dataclasses look their module up by name
    spec.loader.exec_module(module)
    return module
