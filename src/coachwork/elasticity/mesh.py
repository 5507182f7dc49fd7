"""Second-order tetrahedra in a solid read from a STEP or BREP file, finer where it is fastened.

To be called in a process of its own: netgen's CAD kernel and the one the parts are drawn with do not share one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from coachwork.build import Numbers
from coachwork.elasticity.fittings import Fitting, Land, Patch, Strip
from coachwork.errors import CoachworkError

if TYPE_CHECKING:
    import ngsolve as ng

BY_THICKNESS = 2.0  # length of an element by the solid's mean thickness, 2 volume / surface: flat ones carry bending
ACROSS_PATCH = 1.0  # length of an element by a patch's radius, to begin with
GRADING = 0.5  # netgen's: how fast elements may grow; 0.3 (its default) gave 1.6 times as many for the same stiffness


AGAIN = (1.0, 0.8, 0.6)  # netgen now and then finds no mesh at a length, and finds one at another


class NotASolid(CoachworkError):
    """What was read is no single closed solid."""


class NotMeshed(CoachworkError):
    """No mesh was found."""


def read_solid(path: Path) -> Any:
    """The one solid of a STEP or BREP file, netgen's shape. Raises NotASolid."""
    from netgen.occ import OCCGeometry

    shape = OCCGeometry(str(path)).shape
    solids = list(shape.solids)
    if len(solids) != 1:
        raise NotASolid(f"{path.name}: {len(solids)} solids in it; a part is one solid, and closed")
    if not solids[0].mass > 0:
        raise NotASolid(f"{path.name}: its solid encloses nothing, or is inside out")
    return solids[0]


def element_length_mm(shape: Any) -> float:
    """What suits the solid's mean thickness, and at most a sixth of its length."""
    volume = shape.mass
    surface = sum(face.mass for face in shape.faces)
    low, high = (np.array([corner.x, corner.y, corner.z]) for corner in shape.bounding_box)
    return float(min(BY_THICKNESS * 2 * volume / surface, max(high - low) / 6))


def meshed(
    shape: Any, *, length_mm: float, finer: Iterable[tuple[Sequence[float], float]] = (), grading: float = GRADING
) -> ng.Mesh:
    """Curved second-order tetrahedra.

    length_mm : the longest an element may be
    finer     : points, with the length there
    Raises NotMeshed.
    """
    import ngsolve as ng
    from netgen.meshing import MeshingParameters, NgException
    from netgen.occ import OCCGeometry

    points = [(point, min(length, length_mm)) for point, length in finer]
    for again in AGAIN:
        wanted = MeshingParameters(
            maxh=again * length_mm, grading=again * grading, curvaturesafety=1.5, segmentsperedge=0.6
        )
        for point, length in points:
            wanted.RestrictH(*point, again * length)
        try:
            mesh = ng.Mesh(OCCGeometry(shape).GenerateMesh(mp=wanted))
        except NgException:
            continue
        mesh.Curve(2)
        return mesh
    raise NotMeshed(
        f"no mesh was found for it, not at {len(AGAIN)} lengths; faces that nearly touch or slivers of a face are the "
        "usual reason"
    )


def around(fittings: Iterable[Fitting]) -> list[tuple[tuple[float, ...], float]]:
    """Points on every patch, with the length of elements that its load is spread over well."""
    return [point for fitting in fittings for patch in fitting.patches for point in _on(patch)]


def _on(patch: Patch) -> list[tuple[tuple[float, ...], float]]:
    at = np.array(patch.at_mm)
    if isinstance(patch, Strip):
        along = np.array(patch.along)
        length = max(ACROSS_PATCH * patch.width_mm, 0.3)
        steps = np.linspace(-0.5, 0.5, 2 + int(patch.length_mm / length / 2)) * patch.length_mm
        return [(tuple((at + step * along).tolist()), length) for step in steps]
    one, two = across(patch.normal if isinstance(patch, Land) else patch.axis)
    length = max(ACROSS_PATCH * patch.radius_mm, 0.3)
    turns = np.arange(12) * np.pi / 4
    out = patch.radius_mm * np.where(np.arange(12) < 8, 1.0, 0.5)
    rim = at + (out * np.cos(turns))[:, None] * one + (out * np.sin(turns))[:, None] * two
    return [(tuple(point), length) for point in rim.tolist()]


def across(normal: Sequence[float]) -> tuple[Numbers, Numbers]:
    """Two unit vectors at right angles to a direction and to each other."""
    n = np.asarray(normal, dtype=float)
    n = n / np.linalg.norm(n)
    one = np.cross(n, np.eye(3)[int(np.argmin(np.abs(n)))])
    one /= np.linalg.norm(one)
    return one, np.cross(n, one)
