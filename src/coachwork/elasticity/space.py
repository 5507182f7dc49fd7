"""The elastic solid over a mesh: its stiffness, and what a patch's load and mean motion are in it.

Small strains, isotropic, Young's modulus 1 MPa: displacements come out times the modulus, stresses do not depend on it.
NGSolve's hierarchical shape functions, three copies of a scalar space, one for each of x, y, z.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy import sparse

from coachwork.build import Numbers
from coachwork.elasticity.fittings import Bore, Fitting, Patch, Strip, reach_mm
from coachwork.errors import CoachworkError

if TYPE_CHECKING:
    import ngsolve as ng

OFF_FACE_MM = 0.25  # a patch's middle may lie so far off the face: drawn, exported and typed numbers are rounded
RULE = 12  # order of the quadrature over patches, the same whatever the elements: one patch, one load
LEAST_COVER = 0.2  # of a patch that must be there; a screw's head has a hole in its middle


class NoSurface(CoachworkError):
    """A patch lies where the solid has no surface."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Gripped:
    """A fitting on a mesh.

    rows    : (6, unknowns), mean displacement, and mean rotation about the middle: the weighted best fit of a turn.
              Transposed, the loads that do work on these: a force spread as the weight is, and a couple
    middle  : (3,), the weighted middle of its patches
    """

    rows: sparse.csr_array
    middle: Numbers


@dataclass(frozen=True, eq=False)
class Elastic:
    """One solid, one mesh, one order of shape functions."""

    mesh: ng.Mesh
    order: int
    poisson: float

    @cached_property
    def scalar(self) -> Any:
        """The space of one component."""
        import ngsolve as ng

        return ng.H1(self.mesh, order=self.order)

    @cached_property
    def space(self) -> Any:
        """The space of displacements."""
        import ngsolve as ng

        return ng.VectorH1(self.mesh, order=self.order)

    @property
    def unknowns(self) -> int:
        """How many numbers the displacements have."""
        return int(self.space.ndof)

    @cached_property
    def stiffness(self) -> Any:
        """NGSolve's matrix of linear elasticity, for 1 MPa."""
        import ngsolve as ng

        u, v = self.space.TnT()
        form = ng.BilinearForm(self.space, symmetric=True)
        form += self.energy(ng.Grad(u), ng.Grad(v)) * ng.dx
        return form.Assemble().mat

    def energy(self, gradient: Any, other: Any = None) -> Any:
        """Work of one gradient's stresses on another's strains, by default its own; for 1 MPa."""
        import ngsolve as ng

        other = gradient if other is None else other
        shear = 1 / (2 * (1 + self.poisson))
        lame = self.poisson / ((1 + self.poisson) * (1 - 2 * self.poisson))
        strains = ng.InnerProduct(ng.Sym(gradient), ng.Sym(other))
        return 2 * shear * strains + lame * ng.Trace(gradient) * ng.Trace(other)

    @cached_property
    def coordinates(self) -> Numbers:
        """The functions x, y, z in the scalar space, (3, ndof): exact, for the mesh is curved to the second order."""
        import ngsolve as ng

        function = ng.GridFunction(self.scalar)
        rows = []
        for coordinate in (ng.x, ng.y, ng.z):
            function.Set(coordinate)
            rows.append(function.vec.FV().NumPy().copy())
        return np.array(rows)

    @cached_property
    def corners_mm(self) -> Numbers:
        """Corner nodes, (corners, 3)."""
        return self.coordinates[:, : self.mesh.nv].T.copy()

    @cached_property
    def corner_volumes(self) -> Numbers:
        """How much of the solid each corner node stands for, (corners,): the integral of its straight hat."""
        import ngsolve as ng

        test = self.scalar.TestFunction()
        form = ng.LinearForm(self.scalar)
        form += test * ng.dx
        form.Assemble()
        return np.array(form.vec.FV().NumPy()[: self.mesh.nv])

    def held_lightly(self) -> tuple[Any, Numbers]:
        """The free unknowns when six are held: three at a corner, two at another, one at a third, (6,) the held.

        Loads in balance put nothing on these six, so that they stand for no support at all.
        """
        import ngsolve as ng

        points = self.corners_mm
        first = int(np.argmin(points @ np.array([1.0, 0.3, 0.1])))
        second = int(np.argmax(np.linalg.norm(points - points[first], axis=1)))
        along = points[second] - points[first]
        sideways = np.cross(along, points - points[first])
        third = int(np.argmax(np.linalg.norm(sideways, axis=1)))
        axis = int(np.argmax(np.abs(along)))
        held = [(first, 0), (first, 1), (first, 2)]
        held += [(second, other) for other in range(3) if other != axis]
        held += [(third, int(np.argmax(np.abs(sideways[third]))))]
        numbers = np.array([component * self.scalar.ndof + corner for corner, component in held])
        free = ng.BitArray(self.space.ndof)
        free.Set()
        for number in numbers:
            free.Clear(int(number))
        return free, numbers

    def patch_forms(self, fitting: Fitting) -> Gripped:
        """A fitting's mean motion, and the loads that do work on it. Raises NoSurface."""
        import ngsolve as ng

        weight, near = self._weight(fitting)
        test = self.scalar.TestFunction()
        where = ng.ds(definedonelements=near, intrules={ng.TRIG: ng.IntegrationRule(ng.TRIG, RULE)})
        forms = []
        for factor in (ng.CF(1), ng.x, ng.y, ng.z):
            form = ng.LinearForm(self.scalar)
            form += weight * factor * test * where
            form.Assemble()
            forms.append(form.vec.FV().NumPy().copy())
        of_one, moments = forms[0], np.array(forms[1:])
        area = float(of_one[: self.mesh.nv].sum())
        self._is_there(fitting, area)
        middle = moments[:, : self.mesh.nv].sum(axis=1) / area
        second = moments @ self.coordinates.T / area - np.outer(middle, middle)
        inertia = np.trace(second) * np.eye(3) - second
        n = self.scalar.ndof
        rows = np.zeros((6, 3 * n))
        arms = moments / area - np.outer(middle, of_one / area)  # weighted r, (3, ndof)
        for axis in range(3):
            rows[axis, axis * n : (axis + 1) * n] = of_one / area
            turn = np.cross(np.eye(3)[axis], arms.T)  # e x r, so that its product with u is the moment's component
            rows[3 + axis] = turn.T.ravel()
        rows[3:] = np.linalg.solve(inertia, rows[3:])
        return Gripped(rows=sparse.csr_array(rows), middle=middle)

    def weight_loads(self) -> tuple[Numbers, float, Numbers]:
        """One newton of weight along x, y, z, (unknowns, 3); the volume; its centre (3,)."""
        import ngsolve as ng

        test = self.scalar.TestFunction()
        form = ng.LinearForm(self.scalar)
        form += test * ng.dx
        form.Assemble()
        one = form.vec.FV().NumPy()
        volume = float(one[: self.mesh.nv].sum())
        return np.kron(np.eye(3), one[:, None] / volume), volume, self.coordinates @ one / volume

    def _weight(self, fitting: Fitting) -> tuple[Any, Any]:
        """Not yet to the integral 1, and the boundary's elements it is looked for on."""
        import ngsolve as ng

        near = ng.BitArray(self.mesh.GetNE(ng.BND))
        near.Clear()
        total: Any = ng.CF(0)
        for patch in fitting.patches:
            total = total + _weight_of(patch)
            distance = np.linalg.norm(self._facet_middles - np.array(patch.at_mm), axis=1)
            for number in np.flatnonzero(distance < reach_mm(patch) + self._facet_reach):
                near.Set(int(number))
        return total, near

    @cached_property
    def facets(self) -> np.ndarray[Any, Any]:
        """Corner numbers of the surface's triangles, (triangles, 3)."""
        import ngsolve as ng

        facets = [[vertex.nr for vertex in facet.vertices] for facet in self.mesh.Elements(ng.BND)]
        return np.array(facets)

    @cached_property
    def _facet_middles(self) -> Numbers:
        return np.asarray(self.corners_mm[self.facets].mean(axis=1))

    @cached_property
    def _facet_reach(self) -> Numbers:
        corners = self.corners_mm[self.facets]
        return np.asarray(np.linalg.norm(corners - corners.mean(axis=1, keepdims=True), axis=-1).max(axis=1))

    def _is_there(self, fitting: Fitting, area: float) -> None:
        whole = sum(_whole(patch) for patch in fitting.patches)
        if area >= LEAST_COVER * whole:
            return
        at = fitting.patches[0].at_mm
        away = float(np.linalg.norm(self.corners_mm - np.array(at), axis=1).min())
        raise NoSurface(
            f"{fitting.name}: the solid has no surface to fasten to at ({at[0]:zg}, {at[1]:zg}, {at[2]:zg}): "
            f"{100 * area / whole:.0f} % of its patches is there; the mesh's nearest corner is {away:.1f} mm away"
        )


def _weight_of(patch: Patch) -> Any:
    """1 - (r / radius)^2 on a land, the like both ways on a strip, 1 on the wall of a bore, 0 elsewhere."""
    import ngsolve as ng

    def part_of(direction: Sequence[float] | Numbers) -> Any:
        unit = np.asarray(direction, dtype=float)
        return ng.InnerProduct(off, ng.CF(tuple(unit / np.linalg.norm(unit))))

    def falls(square: Any) -> Any:
        return ng.IfPos(1 - square, 1 - square, 0)

    off = ng.CF((ng.x - patch.at_mm[0], ng.y - patch.at_mm[1], ng.z - patch.at_mm[2]))
    axis = np.asarray(patch.axis if isinstance(patch, Bore) else patch.normal, dtype=float)
    along = part_of(axis)
    facing = ng.InnerProduct(ng.specialcf.normal(3), ng.CF(tuple(axis / np.linalg.norm(axis)))) ** 2
    radial_2 = ng.InnerProduct(off, off) - along**2
    if isinstance(patch, Bore):
        gone = ng.sqrt(radial_2 + 1e-12) - patch.radius_mm
        wall = ng.IfPos(max(OFF_FACE_MM, 0.1 * patch.radius_mm) ** 2 - gone**2, ng.IfPos(0.5 - facing, 1, 0), 0)
        return wall * ng.IfPos((patch.length_mm / 2) ** 2 - along**2, 1, 0)
    here = ng.IfPos(OFF_FACE_MM**2 - along**2, ng.IfPos(facing - 0.7, 1, 0), 0)
    if isinstance(patch, Strip):
        other = np.cross(axis, patch.along)
        return (
            here
            * falls((2 / patch.length_mm * part_of(patch.along)) ** 2)
            * falls((2 / patch.width_mm * part_of(other)) ** 2)
        )
    return here * falls(radial_2 / patch.radius_mm**2)


def _whole(patch: Patch) -> float:
    """The weight's integral where all of the patch is there."""
    if isinstance(patch, Bore):
        return float(2 * np.pi * patch.radius_mm * patch.length_mm)
    if isinstance(patch, Strip):
        return patch.length_mm * patch.width_mm * 4 / 9
    return float(np.pi * patch.radius_mm**2 / 2)
