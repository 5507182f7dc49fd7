"""How rough the scan is: the standard deviation of a vertex across the surface, and how far vertices lie apart."""

from __future__ import annotations

import numpy as np

from coachwork.scans.mesh import Mesh, Numbers


def vertex_normals(mesh: Mesh) -> Numbers:
    """Unit normals at the vertices, as wound, weighted by area, (n, 3); arbitrary where the winding disagrees."""
    total = np.zeros_like(mesh.vertices)
    for axis in range(3):
        for corner in range(3):
            total[:, axis] += np.bincount(mesh.faces[:, corner], mesh.crosses[:, axis], len(mesh.vertices))
    return np.asarray(total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-300))


def roughness(mesh: Mesh) -> float:
    """Standard deviation of a vertex along its normal, in the mesh's unit.

    A vertex less the mean of its k neighbours has the variance s^2 (1 + 1/k) where the surface is flat and neighbours
    err independently. Most of a body is flat at the scale of a triangle, so the median tells; slow waves do not show.
    """
    away = mesh.vertices - mesh.averaging @ mesh.vertices
    height = np.einsum("ij,ij->i", away, vertex_normals(mesh))
    inside = ~mesh.at_border
    if inside.sum() < 50:
        return 0.0
    neighbours = np.diff(mesh.averaging.indptr)
    scaled = np.abs(height) / np.sqrt(1 + 1 / np.maximum(neighbours, 1))
    return float(np.median(scaled[inside]) / 0.6745)  # of a normal distribution


def spacing(mesh: Mesh) -> float:
    """Median length of an edge."""
    a, b = mesh.edges.T
    return float(np.median(np.linalg.norm(mesh.vertices[a] - mesh.vertices[b], axis=1)))
