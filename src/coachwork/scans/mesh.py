"""A triangle mesh as arrays, tidied: equal points merged, slivers of no area and loose specks dropped.

Nothing here takes a mesh to be closed or turned one way.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import connected_components

from coachwork.errors import ScanRefused

Numbers = NDArray[np.float64]
Indices = NDArray[np.int64]

SPECK = 0.01  # a loose piece with less than this share of the area is dirt the scanner saw; our choice
SOUP = 1.2  # points a triangle; a connected surface has about half a point for each
WELD = 1e-5  # of the mesh's size: points closer than this are one
FEWEST = 200  # triangles; a shell of fewer has no arches to find


@dataclass(frozen=True, eq=False)
class Mesh:
    """Points and triangles, any one length unit.

    vertices : (n, 3)    faces : (m, 3), corners into `vertices`
    """

    vertices: Numbers
    faces: Indices

    @cached_property
    def crosses(self) -> Numbers:
        """Twice each triangle's area, along its normal as wound, (m, 3)."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return np.cross(b - a, c - a)

    @cached_property
    def areas(self) -> Numbers:
        """(m,)."""
        return np.asarray(np.linalg.norm(self.crosses, axis=1) / 2)

    @cached_property
    def normals(self) -> Numbers:
        """Unit normals as wound, (m, 3)."""
        return self.crosses / np.maximum(2 * self.areas, 1e-300)[:, None]

    @cached_property
    def centroids(self) -> Numbers:
        """(m, 3)."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return np.asarray((a + b + c) / 3)

    @cached_property
    def _sides(self) -> tuple[Indices, Indices]:
        """Each edge once, (e, 2), and how many triangles hang on it, (e,)."""
        sides = np.sort(np.concatenate([self.faces[:, [0, 1]], self.faces[:, [1, 2]], self.faces[:, [2, 0]]]), axis=1)
        key, count = np.unique(sides[:, 0] * len(self.vertices) + sides[:, 1], return_counts=True)
        return np.stack([key // len(self.vertices), key % len(self.vertices)], axis=1), count

    @property
    def edges(self) -> Indices:
        """Each edge once, (e, 2)."""
        return self._sides[0]

    @cached_property
    def at_border(self) -> NDArray[np.bool_]:
        """Which vertices lie on an edge with one triangle only, (n,)."""
        edges, count = self._sides
        border = np.zeros(len(self.vertices), dtype=bool)
        border[edges[count == 1].ravel()] = True
        return border

    @cached_property
    def averaging(self) -> csr_array:
        """The matrix that gives each vertex the mean of its neighbours, (n, n)."""
        a, b = self.edges.T
        rows, columns = np.concatenate([a, b]), np.concatenate([b, a])
        degree = np.maximum(np.bincount(rows, minlength=len(self.vertices)), 1)
        return csr_array((1.0 / degree[rows], (rows, columns)), shape=(len(self.vertices),) * 2)

    def placed(self, vertices: Numbers) -> Mesh:
        """The same triangles with the vertices elsewhere."""
        other = Mesh(vertices, self.faces)
        for name in ("_sides", "at_border", "averaging"):  # worked out once; which triangles meet does not change
            if name in self.__dict__:
                other.__dict__[name] = self.__dict__[name]
        return other

    def sampled(self, count: int, random: np.random.Generator) -> tuple[Numbers, Numbers]:
        """Points spread evenly over the area and the normals there, (count, 3) each."""
        chosen = np.searchsorted(np.cumsum(self.areas), random.uniform(0, self.areas.sum(), count))
        chosen = np.minimum(chosen, len(self.faces) - 1)
        u, v = random.uniform(size=(2, count, 1))
        u, v = np.where(u + v > 1, 1 - u, u), np.where(u + v > 1, 1 - v, v)
        a, b, c = (self.vertices[self.faces[chosen, i]] for i in range(3))
        return a + u * (b - a) + v * (c - a), self.normals[chosen]


def tidy(vertices: Numbers, faces: Indices) -> Mesh:
    """The mesh worth looking at.

    Raises ScanRefused for coordinates that are no numbers, and for too little to be a shell.
    """
    vertices = np.ascontiguousarray(vertices, dtype=np.float64)
    if len(faces) and (faces.min() < 0 or faces.max() >= len(vertices)):
        raise ScanRefused("triangles refer to points that are not in the file; export the mesh again")
    named = np.zeros(len(vertices), dtype=bool)
    named[faces.ravel()] = True
    used = vertices[named]
    bad = int((~np.isfinite(used)).any(axis=1).sum())
    if bad:
        raise ScanRefused(f"{bad:,} of its points have coordinates that are no numbers; export the mesh again")
    if len(used) and float(np.abs(used).max()) > 1e9:
        raise ScanRefused("its points lie further out than any unit explains; export the mesh again")
    if not len(faces):
        raise ScanRefused("there is no triangle in it; export the surface, not the points alone")
    if len(faces) < FEWEST:
        raise _too_few(len(faces))
    first, index = _merged(vertices)
    if len(first) > SOUP * len(faces):  # some programs write each triangle's corners anew, rounded on their own
        size = float(np.linalg.norm(np.ptp(used, axis=0)))
        first, index = _merged(np.round(vertices / (WELD * max(size, 1e-300))))
    vertices, faces = vertices[first], index[faces]
    if len(first) > SOUP * len(faces):
        raise ScanRefused("its triangles do not share corners; merge equal points in your scanner's program first")
    flat = (faces[:, 0] == faces[:, 1]) | (faces[:, 1] == faces[:, 2]) | (faces[:, 2] == faces[:, 0])
    mesh = _compact(Mesh(vertices, faces[~flat]))
    if len(mesh.faces) < FEWEST:
        raise _too_few(len(mesh.faces))
    if len(mesh.vertices) < FEWEST / 4:  # a surface has half a point a triangle, or more
        raise ScanRefused(
            f"its {len(mesh.faces):,} triangles lie on {len(mesh.vertices)} points; export the mesh again"
        )
    return _without_specks(mesh)


def _too_few(triangles: int) -> ScanRefused:
    return ScanRefused(f"{triangles} of its triangles are worth looking at; a shell has some hundred at the very least")


def _merged(vertices: Numbers) -> tuple[Indices, Indices]:
    """Equal points once: (kept,) places of the first of each, and (n,) which of those each point is.

    Bits are mixed to one number a point, which sorts ten times faster than rows do; that two different points mix to
    the same (never seen) would show in the comparison, and rows are sorted then.
    """
    bits = (vertices + 0.0).view(np.uint64)  # -0.0 is 0.0
    with np.errstate(over="ignore"):
        mixed = bits[:, 0] * np.uint64(0x9E3779B97F4A7C15)
        for axis in (1, 2):
            mixed ^= mixed >> np.uint64(29)
            mixed = (mixed + bits[:, axis]) * np.uint64(0xBF58476D1CE4E5B9)
        mixed ^= mixed >> np.uint64(32)
    _, first, index = np.unique(mixed, return_index=True, return_inverse=True)
    if not np.array_equal(vertices[first][index], vertices):
        _, first, index = np.unique(vertices, axis=0, return_index=True, return_inverse=True)
    return first, index.reshape(-1)


def _compact(mesh: Mesh) -> Mesh:
    """Without points that no triangle uses."""
    used = np.zeros(len(mesh.vertices), dtype=bool)
    used[mesh.faces.ravel()] = True
    return Mesh(mesh.vertices[used], (np.cumsum(used) - 1)[mesh.faces])


def _without_specks(mesh: Mesh) -> Mesh:
    """Without loose pieces of hardly any area; a skin, a bumper or a mirror of its own stays."""
    n = len(mesh.vertices)
    a, b, c = mesh.faces.T
    links = coo_array((np.ones(2 * len(a), dtype=bool), (np.concatenate([a, b]), np.concatenate([b, c]))), shape=(n, n))
    pieces, label = connected_components(links, directed=False)
    if pieces == 1:
        return mesh
    of_face = label[a]
    share = np.bincount(of_face, weights=mesh.areas, minlength=pieces)
    worth = share >= SPECK * share.sum()
    if not worth.any():  # triangle soup: no two share a corner
        return mesh
    return _compact(Mesh(mesh.vertices, mesh.faces[worth[of_face]]))
