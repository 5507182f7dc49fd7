"""The second-order mesh as plain arrays: ten nodes a tetrahedron, and stresses at its corners.

Corners 0 to 3 come first, then the middles of the edges 01 12 02 03 13 23: the order of C3D10 in CalculiX.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from scipy import sparse

from coachwork.build import Numbers
from coachwork.elasticity.space import Elastic

EDGES = ((0, 1), (1, 2), (0, 2), (0, 3), (1, 3), (2, 3))
BUBBLE = -1 / 8  # height in the middle of an edge of the shape function that NGSolve gives it
FLAT = 0.2  # of what an element has at its corners on the mean: where it has less, its stress is not asked
SIX = ((0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (0, 2))  # order of stress components: xx yy zz xy yz zx


def _gradients_at_corners() -> Numbers:
    """Of the ten shape functions, (corner, node, 3): 4 l - 1 at its own corner, -1 at others, 4 on the edges."""
    flat = np.array([[-1.0, -1.0, -1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    out = np.zeros((4, 10, 3))
    for corner in range(4):
        for node in range(4):
            out[corner, node] = (3.0 if node == corner else -1.0) * flat[node]
        for k, (a, b) in enumerate(EDGES):
            out[corner, 4 + k] = 4 * ((corner == a) * flat[b] + (corner == b) * flat[a])
    return out


AT_CORNERS = _gradients_at_corners()


@dataclass(frozen=True, eq=False)
class Nodes:
    """Nodes and elements of an elastic solid of the second order."""

    elastic: Elastic

    def __post_init__(self) -> None:
        if self.elastic.order != 2:
            raise ValueError(f"ten nodes hold the second order, not order {self.elastic.order}")

    @cached_property
    def corners(self) -> int:
        """How many of the nodes are corners; they come first."""
        return int(self.elastic.mesh.nv)

    @cached_property
    def _edges(self) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
        """Ends (edges, 2) and unknowns (edges,)."""
        import ngsolve as ng

        scalar, mesh = self.elastic.scalar, self.elastic.mesh
        ends = np.array([[vertex.nr for vertex in edge.vertices] for edge in mesh.edges])
        return ends, np.array([scalar.GetDofNrs(ng.NodeId(ng.EDGE, number))[0] for number in range(mesh.nedge)])

    @cached_property
    def tets(self) -> np.ndarray[Any, Any]:
        """Node numbers, (elements, 10), each with a positive volume."""
        import ngsolve as ng

        elements = list(self.elastic.mesh.Elements(ng.VOL))
        corners = np.array([[vertex.nr for vertex in element.vertices] for element in elements])
        points = self.elastic.corners_mm[corners]
        volume = np.linalg.det(points[:, 1:] - points[:, :1])
        corners[volume < 0] = corners[volume < 0][:, [1, 0, 2, 3]]
        number = {(int(a), int(b)): k for k, (a, b) in enumerate(np.sort(self._edges[0], axis=1))}
        pairs = np.sort(corners[:, np.array(EDGES)], axis=-1)
        middles = np.array([[number[int(a), int(b)] for a, b in pair] for pair in pairs])
        return np.hstack([corners, self.corners + middles])

    def at_nodes(self, unknowns: Numbers) -> Numbers:
        """From NGSolve's unknowns to values at nodes: (3 ndof, ...) to (nodes, 3, ...)."""
        parts = unknowns.reshape(3, -1, *unknowns.shape[1:])
        ends, own = self._edges
        corner = parts[:, : self.corners]
        middle = (corner[:, ends[:, 0]] + corner[:, ends[:, 1]]) / 2 + BUBBLE * parts[:, own]
        return np.moveaxis(np.concatenate([corner, middle], axis=1), 0, 1)

    def forces_at_nodes(self, loads: Numbers) -> Numbers:
        """A load in NGSolve's unknowns as forces at the nodes, (3 ndof,) to (nodes, 3): the same work on any motion."""
        parts = loads.reshape(3, -1)
        ends, own = self._edges
        middle = parts[:, own] / BUBBLE
        corner = parts[:, : self.corners].copy()
        for end in range(2):
            for axis in range(3):
                np.subtract.at(corner[axis], ends[:, end], middle[axis] / 2)
        return np.concatenate([corner, middle], axis=1).T

    @cached_property
    def places_mm(self) -> Numbers:
        """All nodes, (nodes, 3)."""
        scalar = self.elastic.coordinates
        return self.at_nodes(scalar.ravel())

    @cached_property
    def _jacobians(self) -> Numbers:
        """At each element's corners, (elements, corner, 3, 3)."""
        return np.asarray(np.einsum("end,cnk->ecdk", self.places_mm[self.tets], AT_CORNERS))

    @cached_property
    def _shape_gradients(self) -> Numbers:
        """In mm, at each element's corners, (elements, corner, node, 3)."""
        return np.asarray(np.einsum("cnk,eckd->ecnd", AT_CORNERS, np.linalg.inv(self._jacobians)))

    @cached_property
    def weights(self) -> Numbers:
        """What each element counts for at its corners, (elements, 4): how much of it there is at that corner.

        An element that lies along a fillet with two curved edges is all but flat where they meet. Its stress there is
        a small number divided by almost nothing, and would drown all others in a plain mean.
        """
        return np.asarray(np.maximum(np.linalg.det(self._jacobians), 1e-9))

    @cached_property
    def sound(self) -> np.ndarray[Any, Any]:
        """Where an element is not flat at its corner, (elements, 4)."""
        return np.asarray(self.weights > FLAT * self.weights.mean(axis=1, keepdims=True))

    def stress(self, unknowns: Numbers) -> tuple[Numbers, Numbers]:
        """Of one displacement field, for 1 MPa.

        Returns : at the corners, the mean over the elements that meet there, by `weights`, (corners, 6); and of each
                  element at its own corners, (elements, 4, 6)
        """
        own = self._own_stress(unknowns, self.tets, self._shape_gradients)
        corners, shares = self.tets[:, :4].ravel(), self.weights.ravel()
        sums = [np.bincount(corners, shares * own[..., k].ravel(), self.corners) for k in range(6)]
        mean = np.stack(sums, axis=-1) / np.bincount(corners, shares, self.corners)[:, None]
        return np.asarray(mean), own

    def stress_at(self, corners: np.ndarray[Any, Any], unknowns: Numbers) -> Numbers:
        """The mean alone, at some corners only, of k fields (3 ndof, k): (corners, 6, k)."""
        near = np.isin(self.tets[:, :4], corners).any(axis=1)
        tets, shapes = self.tets[near], self._shape_gradients[near]
        place = np.full(self.corners, -1)
        place[corners] = np.arange(len(corners))
        number = place[tets[:, :4]].ravel()
        met = number >= 0
        shares = self.weights[near].ravel()[met]
        average = sparse.csr_array((shares, (number[met], np.flatnonzero(met))), shape=(len(corners), len(number)))
        count = np.bincount(number[met], shares, len(corners))[:, None]
        fields = [average @ self._own_stress(field, tets, shapes).reshape(-1, 6) / count for field in unknowns.T]
        return np.stack(fields, axis=-1)

    def _own_stress(self, unknowns: Numbers, tets: np.ndarray[Any, Any], shapes: Numbers) -> Numbers:
        """Of one field at the corners of some elements, (elements, 4, 6)."""
        nu = self.elastic.poisson
        shear, lame = 1 / (2 * (1 + nu)), nu / ((1 + nu) * (1 - 2 * nu))
        gradient = np.einsum("end,ecnk->ecdk", self.at_nodes(unknowns)[tets], shapes)
        trace = np.trace(gradient, axis1=-2, axis2=-1)
        return np.stack(
            [shear * (gradient[..., a, b] + gradient[..., b, a]) + lame * trace * (a == b) for a, b in SIX], axis=-1
        )

    @cached_property
    def volumes(self) -> Numbers:
        """Of the elements with straight edges, (elements,)."""
        points = self.elastic.corners_mm[self.tets[:, :4]]
        return np.asarray(np.abs(np.linalg.det(points[:, 1:] - points[:, :1])) / 6)
