"""What third-order elements add to a second-order answer on the same mesh.

The shape functions are hierarchical: the second order's stand among the third's, and so does its stiffness matrix. Its
factors, at hand already, therefore solve most of the third order's equations; what is left couples few unknowns, three
for each edge and each face. Conjugate gradients with these two as preconditioner find the addition in some ten steps,
where factorising the third order's matrix takes some ten times as long as the second's.

The energy of the addition grows from step to step towards that of the third order (the iterates are its best
approximations in spaces that contain each other), so that the error told is never more than the third order's, and less
by what later steps would still add.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from coachwork.build import Numbers
from coachwork.elasticity.space import Elastic

ENOUGH = 0.01  # of the energy found: a step that adds less is the last but one
MOST_STEPS = 60


@dataclass(frozen=True, kw_only=True, eq=False)
class Addition:
    """What the third order adds under each of k loads.

    fields : (unknowns of the third order, k)    energy : (k,), its work, twice its strain energy
    """

    fields: Numbers
    energy: Numbers


class Third:
    """The third order on the second's mesh, with the second's factors at hand."""

    def __init__(self, second: Elastic, inverse: Any) -> None:
        self.elastic = Elastic(second.mesh, 3, second.poisson)
        self._inverse = inverse
        self._among = _among(second, self.elastic)
        self._smoother = self.elastic.stiffness.CreateBlockSmoother(self._blocks())

    def addition(self, fields: Numbers, loads: Numbers) -> Addition:
        """To the second order's fields (unknowns, k), under loads (unknowns of the third order, k)."""
        added = [self._one(field, load) for field, load in zip(fields.T, loads.T, strict=True)]
        return Addition(fields=np.stack([a for a, _ in added], axis=1), energy=np.array([e for _, e in added]))

    def _one(self, field: Numbers, load: Numbers) -> tuple[Numbers, float]:
        matrix = self.elastic.stiffness
        source, answer = matrix.CreateColVector(), matrix.CreateColVector()

        def times(x: Numbers) -> Numbers:
            source.FV().NumPy()[:] = x
            answer.data = matrix * source
            return np.array(answer.FV().NumPy())

        def nearly_solved(x: Numbers) -> Numbers:
            source.FV().NumPy()[:] = x
            answer.data = self._smoother * source
            out = np.array(answer.FV().NumPy())
            out[self._among] += self._inverse.of(x[self._among])
            return out

        found, start = np.zeros(len(load)), np.zeros(len(load))
        start[self._among] = field
        left = load - times(start)
        step = preconditioned = nearly_solved(left)
        size, energy = float(left @ preconditioned), 0.0
        small = 0
        for _ in range(MOST_STEPS):
            if size <= 0:
                break
            along = times(step)
            far = size / float(step @ along)
            found += far * step
            left = left - far * along
            energy += far * size
            small = small + 1 if far * size < ENOUGH * energy else 0
            if small == 2:
                break
            preconditioned = nearly_solved(left)
            before, size = size, float(left @ preconditioned)
            step = preconditioned + size / before * step
        return found, energy

    def _blocks(self) -> list[list[int]]:
        """The unknowns that the second order lacks, by edge and face."""
        n = self.elastic.scalar.ndof
        mine = np.ones(n, dtype=bool)
        mine[self._among[: len(self._among) // 3]] = False
        return [[int(k), int(k) + n, int(k) + 2 * n] for k in np.flatnonzero(mine)]


def _among(second: Elastic, third: Elastic) -> np.ndarray[Any, Any]:
    """Where the second order's unknowns stand among the third's."""
    import ngsolve as ng

    low, high, mesh = second.scalar, third.scalar, second.mesh
    numbers = np.empty(low.ndof, dtype=int)
    numbers[: mesh.nv] = np.arange(mesh.nv)
    for edge in range(mesh.nedge):
        node = ng.NodeId(ng.EDGE, edge)
        numbers[low.GetDofNrs(node)[0]] = high.GetDofNrs(node)[0]
    return np.concatenate([numbers + axis * high.ndof for axis in range(3)])
