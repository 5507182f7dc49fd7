"""Meshes that the page fetches by name: the shell, what a part sweeps, the parts that were made."""

from __future__ import annotations

from pathlib import Path

from coachwork.build import Build
from coachwork.confidence import Report
from coachwork.errors import ScanRefused
from coachwork.geometry.vectors import Array
from coachwork.plan.made import made_parts
from coachwork.scans.reading import read_mesh
from coachwork.studies.clearance.result import ClearanceResult
from coachwork.studies.parts import is_missing
from coachwork.workbench.plain import packed


def shell_of(report: Report) -> tuple[Array, Array] | None:
    """The scanned shell where it sits on the chassis: corners (n, 3), and triangles (m, 3) of them."""
    answer = report.answers.get("clearance")
    if answer is None or is_missing(answer.result.scene.scan):
        return None
    (shape,) = answer.result.scene.scan.thing.shapes
    return shape.vertices, shape.faces


def sweep_of(clearance: ClearanceResult, key: str) -> bytes | None:
    """The space a moving part sweeps, as `plain.packed` sends it.

    None for a part there is not, or one whose sweep has no closed form: the rim, which the tyre hides.
    """
    from coachwork.studies.clearance.swept import swept

    try:
        part = clearance.scene.placed(key)
    except KeyError:
        return None
    if part.corner is None or part.thing.kind == "rim":
        return None
    found = swept(part)
    return packed(found.vertices, found.faces)


def made_mesh(build: Build, name: str) -> bytes | None:
    """A made part's triangles in its own frame, as `sweep_of` sends them; None where there is no such part."""
    part = made_parts(build).parts.get(name)
    if part is None:
        return None
    try:
        mesh = read_mesh(Path(part.mesh))
    except (ScanRefused, OSError):  # made anew this moment, or thrown away
        return None
    return packed(mesh.vertices, mesh.faces)


def shell_bytes(report: Report, part: str) -> bytes | None:
    """The scanned shell's corners ("vertices") as float32, or its triangles as uint32; None where there is none."""
    shell = shell_of(report)
    if shell is None:
        return None
    return (shell[0].astype("<f4") if part == "vertices" else shell[1].astype("<u4")).tobytes()
