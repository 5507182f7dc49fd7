"""The van's shell as a scan, found once; and what counts as found rightly."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from coachwork.scans.found import FoundShell, find_shell
from coachwork.scans.hints import Hints
from coachwork.scans.mesh import tidy
from coachwork.scans.proposals import proposals

# What a builder knows of the shell before scanning it, to a few millimetres: the prototype's brochure at 1:10.
BROCHURE = Hints(length_mm=448.0, front_overhang_mm=82.0, rear_overhang_mm=94.0)


def found_in(vertices: Any, faces: Any, *, hints: Hints = BROCHURE, mm: float = 1.0) -> FoundShell:
    mesh = tidy(np.asarray(vertices, dtype=float), np.asarray(faces, dtype=np.int64))
    return find_shell(
        mesh.placed(mesh.vertices * mm), mm_per_file_unit=mm, hints=hints, random=np.random.default_rng(20)
    )


@pytest.fixture(scope="session")
def find() -> Callable[..., FoundShell]:
    """The shell in vertices and triangles."""
    return found_in


@pytest.fixture(scope="session")
def fine(make_shell: ModuleType) -> Any:
    """The demo shell, over 200,000 triangles with noise, waviness, holes and a pose of the scanner's choosing."""
    return make_shell.make(seed=1)


@pytest.fixture(scope="session")
def found_fine(fine: Any) -> FoundShell:
    return found_in(fine.vertices, fine.faces)


@pytest.fixture(scope="session")
def coarse(make_shell: ModuleType) -> Any:
    """The same van by a coarser scanner: 45,000 triangles."""
    return make_shell.make(step=5.0)


@pytest.fixture(scope="session")
def found_coarse(coarse: Any) -> FoundShell:
    return found_in(coarse.vertices, coarse.faces)


def truth_by_key(truth: dict[str, Any]) -> dict[str, float]:
    """What the script says it made, by the build file's keys."""
    t = truth
    front, rear = t["nose_to_front_arch"], t["nose_to_front_arch"] + t["wheelbase"]
    same = {f"{end}.from-nose-{side}": x for end, x in (("front", front), ("rear", rear)) for side in ("left", "right")}
    tops = {f"{end}.top": t["arch_centre_over_sill"] + t["arch_radius"] for end in ("front", "rear")}
    return {
        "length": t["length"], "width": t["width"], "wheelbase": t["wheelbase"], "front-overhang": front,
        "rear-overhang": t["rear_overhang"], "arch-opening-front": 2 * t["arch_radius"],
        "arch-opening-rear": 2 * t["arch_radius"], "front.across": t["across_front"], "rear.across": t["across_rear"],
        "front.lip": t["lip"], "rear.lip": t["lip"], **same, **tops,
    }  # fmt: skip


@pytest.fixture(scope="session")
def misses() -> Callable[[FoundShell, dict[str, Any]], dict[str, tuple[float, float]]]:
    """{key: (error, spread)} of every dimension that lies outside its own stated spread, the scanner taken as perfect.

    A dimension that is only offered with a doubt counts as an honest "unsure".
    """

    def told(found: FoundShell, truth: dict[str, Any]) -> dict[str, tuple[float, float]]:
        wanted = {f"shell.{key}": value for key, value in truth_by_key(truth).items()}
        offered = [one for one in proposals(found, scanner_mm=0.0) if not one.doubt]
        errors = {one.key: (one.measured.value - wanted[one.key], one.measured.half_width) for one in offered}
        roof = found.roof_over_sill
        errors["roof over sill"] = (roof.value - truth["roof_over_sill"], roof.half_width)
        for wheel, arch in found.arches.items():
            made = truth["arches"][wheel]
            if arch.sure:
                errors[f"{wheel} x"] = (arch.x - made["x"], arch.half_x)
                errors[f"{wheel} z"] = (arch.z - made["z"], arch.half_z)
                errors[f"{wheel} radius"] = (arch.radius - made["radius"], arch.half_radius)
        return {key: pair for key, pair in errors.items() if not abs(pair[0]) <= pair[1]}

    return told
