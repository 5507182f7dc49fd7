"""How stressed a solid's surface is under each load that was watched: for looking at, kept beside its flexibility.

Von Mises stress at the mesh's own corners, the mean of the elements that meet there; it does not depend on the modulus
and grows with the load in proportion. Under a fitting it is that of the pressure we assume there, and says little.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Numbers
from coachwork.elasticity.nodes import Nodes
from coachwork.elasticity.stress import von_mises

FORMAT = 1
SUFFIX = ".surface"


@dataclass(frozen=True, kw_only=True, eq=False)
class SurfaceStress:
    """Of one solid.

    places_mm  : (n, 3), corners of the surface, in the solid's frame
    triangles  : (m, 3), of these
    watched    : names of the loads
    stress_mpa : (watched, n), for the load as it was watched: by each N mm of a couple of one, and so on
    """

    places_mm: Numbers
    triangles: NDArray[np.int64]
    watched: tuple[str, ...]
    stress_mpa: Numbers


def surface_stress(nodes: Nodes, fields: Numbers, watched: Sequence[str]) -> SurfaceStress:
    """Of displacement fields (unknowns, watched)."""
    facets = nodes.elastic.facets
    there, triangles = np.unique(facets, return_inverse=True)
    stress = np.stack([von_mises(nodes.stress(field)[0][there]) for field in fields.T])
    return SurfaceStress(
        places_mm=nodes.elastic.corners_mm[there], triangles=triangles.reshape(facets.shape), watched=tuple(watched),
        stress_mpa=stress,
    )  # fmt: skip


def beside(result: Path) -> Path:
    """Where the surface's stress lies when the flexibility lies in `result`."""
    return result.with_suffix(SUFFIX)


def save_surface(surface: SurfaceStress, path: Path) -> None:
    """One file, whole or not at all; in single precision, four times what an eye can tell apart and more."""
    part = path.with_suffix(".part")
    plain = {"format": FORMAT, "watched": list(surface.watched)}
    with part.open("wb") as file:
        np.savez_compressed(
            file, plain=np.array(json.dumps(plain)), places_mm=surface.places_mm.astype(np.float32),
            triangles=surface.triangles.astype(np.uint32), stress_mpa=surface.stress_mpa.astype(np.float32),
        )  # fmt: skip
    part.replace(path)


def load_surface(path: Path) -> SurfaceStress | None:
    """What was saved; None where there is nothing, or nothing that this version can read."""
    try:
        with np.load(path, allow_pickle=False) as file:
            plain = json.loads(str(file["plain"]))
            if plain["format"] != FORMAT:
                return None
            return SurfaceStress(
                places_mm=file["places_mm"].astype(float), triangles=file["triangles"].astype(np.int64),
                watched=tuple(plain["watched"]), stress_mpa=file["stress_mpa"].astype(float),
            )  # fmt: skip
    except (OSError, ValueError, KeyError):
        return None
