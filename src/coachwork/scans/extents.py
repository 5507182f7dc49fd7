"""How far a noisy body reaches: the outermost vertex of a scan is its noisiest, so a surface is laid through there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from coachwork.scans.mesh import Indices, Mesh, Numbers

TRIED = 40  # of the outermost vertices
LEAST = 0.01  # half-width that no scan beats, in mm; our choice
FITS = 1.7  # a surface whose vertices scatter more than this times the noise is of another shape
OUTERMOST = 0.85  # quantile of the surface's heights at those vertices; the very highest would be noise again


@dataclass(frozen=True, kw_only=True)
class Reach:
    """How far the body reaches in a direction, and the half-width of that."""

    value: float
    half: float


def reach(mesh: Mesh, direction: Numbers, *, noise: float, random: np.random.Generator) -> Reach:
    """Greatest `vertices . direction` of the surface under the noise; direction a unit vector (3,)."""
    heights = mesh.vertices @ direction
    heights = np.where(_spikes(mesh, heights, noise), -np.inf, heights)
    top = float(heights.max())
    outer = np.flatnonzero(heights > top - max(4 * noise, 1e-9))
    if len(outer) > TRIED:
        outer = random.choice(outer, TRIED, replace=False)
    fits = [_surface_height(mesh, int(vertex), heights, direction, noise) for vertex in outer]
    values, sigmas = np.array(fits).T
    value = float(np.quantile(values, OUTERMOST))
    return Reach(value=min(value, top), half=float(2 * np.median(sigmas)) + 0.6 * noise + LEAST)


def _spikes(mesh: Mesh, heights: Numbers, noise: float) -> Numbers:
    """Vertices that stand out of all their neighbours further than triangles are long: the scanner's doing."""
    neighbours = csr_array(
        (np.ones(len(mesh.averaging.indices)), mesh.averaging.indices, mesh.averaging.indptr), mesh.averaging.shape
    )
    outer = np.flatnonzero(heights > heights.max() - 0.02 * np.ptp(heights))
    spike = np.zeros(len(heights), dtype=bool)
    for vertex in outer[np.argsort(-heights[outer])][:200]:
        around = neighbours.indices[neighbours.indptr[vertex] : neighbours.indptr[vertex + 1]]
        if len(around):
            flat = np.linalg.norm(mesh.vertices[around] - mesh.vertices[vertex], axis=1)
            out = heights[vertex] - heights[around].max()
            spike[vertex] = out > 6 * noise and out > 0.5 * np.median(flat)
    return spike


def _surface_height(mesh: Mesh, vertex: int, heights: Numbers, direction: Numbers, noise: float) -> tuple[float, float]:
    """Height of a quadratic surface through a vertex's neighbourhood at that vertex, and its standard deviation.

    The neighbourhood shrinks until the surface fits: a bumper's face may be only a few triangles high.
    """
    first = np.cross(direction, np.eye(3)[np.argmin(np.abs(direction))])
    first /= np.linalg.norm(first)
    then = np.cross(direction, first)
    for rings in (3, 2, 1):
        around = _ring(mesh.averaging, vertex, rings)
        around = around[np.isfinite(heights[around])]
        away = mesh.vertices[around] - mesh.vertices[vertex]
        u, v = away @ first, away @ then
        size = max(float(np.hypot(u, v).max()), 1e-12)
        u, v = u / size, v / size
        table = np.column_stack([np.ones_like(u), u, v, u * u, u * v, v * v][: 6 if rings > 1 else 3])
        if len(around) < 2 * table.shape[1]:
            continue
        coefficients, *_ = np.linalg.lstsq(table, heights[around], rcond=None)
        off = heights[around] - table @ coefficients
        rms = float(np.sqrt((off**2).sum() / (len(around) - table.shape[1])))
        if rms < FITS * noise:
            factor = float(np.linalg.pinv(table.T @ table)[0, 0])
            return float(coefficients[0]), max(rms, noise) * float(np.sqrt(max(factor, 0.0)))
    return float(heights[vertex]) - noise, 2 * noise


def _ring(averaging: csr_array, vertex: int, rings: int) -> Indices:
    """A vertex with its neighbours, their neighbours, and so on."""
    around = np.array([vertex])
    for _ in range(rings):
        around = np.unique(np.concatenate(
            [around, *(averaging.indices[averaging.indptr[i] : averaging.indptr[i + 1]] for i in around)]
        ))  # fmt: skip
    return np.asarray(around, dtype=np.int64)
