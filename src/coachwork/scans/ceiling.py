"""The underside as a height map: how far up there is room over every point of the deck."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:  # the type is asked for by studies, which start without the finder
    from coachwork.scans.found import FoundShell
    from coachwork.scans.mesh import Mesh

Numbers = NDArray[np.float64]


@dataclass(frozen=True, eq=False, kw_only=True)
class Ceiling:
    """What hangs over each point of a grid, seen from below, in the frame of the mesh.

    x_mm, y_mm : (nx,) and (ny,), the grid    z_mm : (nx, ny), lowest surface over the point; NaN where there is none
    """

    x_mm: Numbers
    y_mm: Numbers
    z_mm: Numbers

    @property
    def covered(self) -> float:
        """Share of the grid with something above it."""
        return float(np.isfinite(self.z_mm).mean())


def ceiling_over(mesh: Mesh, *, step_mm: float = 2.0) -> Ceiling:
    """Over the rectangle round the mesh; the mesh stands upright (z up)."""
    from coachwork.scans.rays import Rays

    low, high = mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)
    x, y = (np.arange(low[i] + step_mm / 2, high[i], step_mm) for i in (0, 1))
    grid = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
    below = float(low[2]) - 1.0
    origins = np.column_stack([grid, np.full(len(grid), below)])
    up = np.broadcast_to([0.0, 0.0, 1.0], origins.shape)
    return Ceiling(x_mm=x, y_mm=y, z_mm=(below + Rays(mesh).distances(origins, up)).reshape(len(x), len(y)))


def room_inside(shell: FoundShell, ceiling: Ceiling) -> float:
    """Height over the sill that nine tenths of the deck between the axles and within the arches' lips have."""
    between = [arch.x for arch in shell.arches.values()] or [-shell.tail.value / 2, shell.nose.value / 2]
    across = 0.8 * min(shell.left.value, shell.right.value)
    inside = ceiling.z_mm[(ceiling.x_mm > min(between)) & (ceiling.x_mm < max(between))][
        :, np.abs(ceiling.y_mm) < across
    ]
    return float(np.nanquantile(inside, 0.1)) if np.isfinite(inside).any() else float("nan")
