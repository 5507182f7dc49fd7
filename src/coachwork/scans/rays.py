"""First surface along many straight lines, by a ray caster that is loaded when it is first needed."""

from __future__ import annotations

import numpy as np

from coachwork.scans.mesh import Mesh, Numbers


def first_hits(mesh: Mesh, origins: Numbers, directions: Numbers) -> Numbers:
    """How far from each origin (n, 3) the first triangle is along its unit direction (n, 3); NaN where there is none.

    Both sides of a triangle count. Single precision inside: good to about 1e-6 of the mesh's size.
    """
    import trimesh
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    body = trimesh.Trimesh(vertices=mesh.vertices, faces=mesh.faces, process=False, validate=False)
    caster = RayMeshIntersector(body, scale_to_box=True)
    which = np.asarray(caster.intersects_first(origins, directions))
    hit = which >= 0
    distance = np.full(len(origins), np.nan)
    # The plane of the triangle hit gives the distance in double precision.
    a, normal = mesh.vertices[mesh.faces[which[hit], 0]], mesh.normals[which[hit]]
    along = np.einsum("ij,ij->i", normal, directions[hit])
    with np.errstate(divide="ignore", invalid="ignore"):
        distance[hit] = np.einsum("ij,ij->i", normal, a - origins[hit]) / along
    return distance
