"""How thick the shell's wall is, from skin to skin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.quantity import Measured
from coachwork.scans.found import FoundShell, length
from coachwork.scans.rays import Rays

CAST = 4000  # lines through the surface
THICKEST = 0.03  # of the length: what lies further behind a skin is the other side of the body
DOUBLE = 0.4  # share of lines that must meet a second skin


@dataclass(frozen=True, eq=False, kw_only=True)
class Wall:
    """The wall's thickness over the body.

    typical    : the median, and its half-width
    thinnest_mm, thickest_mm : of nine tenths of the area
    share      : of the lines that met a second skin
    """

    typical: Measured
    thinnest_mm: float
    thickest_mm: float
    share: float


def wall_thickness(shell: FoundShell, random: np.random.Generator) -> Wall | None:
    """None where the scan shows one skin only.

    From points all over the surface a line goes to either side, at right angles to it; the nearer surface is the other
    skin. The normal is that of a noisy triangle: the slant it gives is taken out with the cosine to the other skin.
    """
    points, normals = shell.mesh.sampled(CAST, random)
    start = max(4 * shell.noise_mm, 0.05 * shell.spacing_mm, 1e-3)
    rays = Rays(shell.mesh)
    both = [start + rays.distances(points + start * way, way) for way in (normals, -normals)]
    near = np.fmin(*both)
    longest = THICKEST * (shell.nose.value + shell.tail.value)
    met = near < longest
    if met.mean() < DOUBLE:
        return None
    thick = near[met]
    middle = float(np.median(thick))
    scatter = 1.4826 * float(np.median(np.abs(thick - middle)))
    low, high = np.quantile(thick, [0.05, 0.95])
    half = 3.75 * scatter / np.sqrt(len(thick)) + 0.5 * shell.noise_mm + 0.01 * shell.spacing_mm
    return Wall(typical=length(middle, half), thinnest_mm=float(low), thickest_mm=float(high), share=float(met.mean()))
