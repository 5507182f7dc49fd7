"""First surface along many straight lines, by a ray caster that is loaded when it is first needed."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np

from coachwork.scans.mesh import Indices, Mesh, Numbers


class Rays:
    """Lines cast at one mesh. Both sides of a triangle count.

    Single precision inside: which triangle is hit is good to about 1e-6 of the mesh's size.
    """

    def __init__(self, mesh: Mesh) -> None:
        self._mesh = mesh

    @cached_property
    def _caster(self) -> Any:
        import trimesh
        from trimesh.ray.ray_pyembree import RayMeshIntersector

        body = trimesh.Trimesh(vertices=self._mesh.vertices, faces=self._mesh.faces, process=False, validate=False)
        return RayMeshIntersector(body, scale_to_box=True)

    def faces(self, origins: Numbers, directions: Numbers) -> Indices:
        """The first triangle from each origin (n, 3) along its unit direction (n, 3); -1 where there is none."""
        return np.asarray(self._caster.intersects_first(origins, directions), dtype=np.int64)

    def distances(self, origins: Numbers, directions: Numbers) -> Numbers:
        """How far away that triangle is, (n,); NaN where there is none."""
        which = self.faces(origins, directions)
        hit = which >= 0
        distance = np.full(len(origins), np.nan)
        # The plane of the triangle hit gives the distance in double precision.
        a, normal = self._mesh.vertices[self._mesh.faces[which[hit], 0]], self._mesh.normals[which[hit]]
        along = np.einsum("ij,ij->i", normal, directions[hit])
        with np.errstate(divide="ignore", invalid="ignore"):
            distance[hit] = np.einsum("ij,ij->i", normal, a - origins[hit]) / along
        return distance
