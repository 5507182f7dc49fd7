"""A solid's flexibility by finite elements: meshed, loaded, compared with a higher order, refined until good enough."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy import sparse

from coachwork.build import Numbers
from coachwork.elasticity.fittings import reach_mm
from coachwork.elasticity.flexibility import Flexibility, Kept
from coachwork.elasticity.job import Wanted
from coachwork.elasticity.joined import Body, Joint, Load, NotHeld, rigid_block, settle
from coachwork.elasticity.mesh import around, element_length_mm, meshed, read_solid
from coachwork.elasticity.nodes import Nodes
from coachwork.elasticity.space import Elastic
from coachwork.elasticity.stress import von_mises
from coachwork.elasticity.surface import SurfaceStress, surface_stress
from coachwork.errors import CoachworkError

if TYPE_CHECKING:
    import ngsolve as ng

WORST = 0.85  # share of the error's energy whose elements are made smaller in one round
SHORTER = (0.5, 0.75)  # an element's new length by its old one, at most and at least
ROUNDS = 8
PLACES = 40  # of each load that is watched
APART_MM = 2.0
IN_BALANCE = 1e-3  # of a watched load's own size: patches are not quite where they were typed
Tell = Callable[[str], None]
Take = Callable[[SurfaceStress], None]


class NotInBalance(CoachworkError):
    """A load that would carry the free solid away."""


def measured(wanted: Wanted, tell: Tell = lambda _: None, take_surface: Take = lambda _: None) -> Kept:
    """Mesh, solve, compare with the third order, refine where the two differ, until the accuracy is there.

    take_surface : is given the stress all over the surface under the watched loads

    Raises NotASolid, NoSurface, NotInBalance. Where `most_unknowns` ends it before, the error left stands in
    `watch_error`.
    """
    start = time.perf_counter()
    shape = read_solid(wanted.path)
    length, finer = element_length_mm(shape), around(wanted.fittings)
    for attempt in range(1, ROUNDS + 1):
        tell("meshing")
        mesh = meshed(shape, length_mm=length, finer=finer)
        tell(f"{mesh.ne} elements, second order")
        second = Solved(Elastic(mesh, 2, wanted.poisson), wanted)
        forces = second.forces_under(wanted)
        tell(f"{mesh.ne} elements, third order")
        third = Solved(Elastic(mesh, 3, wanted.poisson), wanted)
        fields = second.under(forces), third.under(forces)
        work = third.work(fields[1], forces)
        error = 1 - second.work(fields[0], forces) / work
        if (np.abs(error) <= wanted.accuracy).all() or 2 * third.elastic.unknowns > wanted.most_unknowns:
            break
        tell(f"error {100 * error.max():.1f} %, refining ({attempt})")
        shorter = float(np.clip(0.9 * wanted.accuracy / np.abs(error).max(), *SHORTER))
        finer += _worst_elements(second.elastic, third.elastic, fields, work, shorter)
    flexibility = second.flexibility
    tell("stresses")
    n = second.rows.shape[0]
    nodes = Nodes(second.elastic)
    take_surface(surface_stress(nodes, fields[0], tuple(wanted.watch)))
    chosen, unsure = _worst_places(nodes, fields[0], wanted)
    stress = np.stack([nodes.stress(field)[0][chosen] for field in second.fields.T], axis=-1)
    return Kept(
        fittings=tuple(fitting.name for fitting in wanted.fittings),
        middle_mm=second.middles,
        by_load=flexibility[:, :n],
        by_weight=flexibility[:, n:],
        centre_mm=second.centre,
        places_mm=second.elastic.corners_mm[chosen],
        stress_by_load=stress[..., :n],
        stress_by_weight=stress[..., n:],
        unsure=unsure,
        watched=tuple(wanted.watch),
        watch_error=error,
        volume_mm3=second.volume,
        poisson=wanted.poisson,
        imbalance=second.imbalance(fields[0], forces),
        elements=int(mesh.ne),
        unknowns=second.elastic.unknowns,
        seconds=time.perf_counter() - start,
    )


class Solved:
    """One order on one mesh, factorised, with its fittings."""

    def __init__(self, elastic: Elastic, wanted: Wanted) -> None:
        self.elastic = elastic
        grips = [elastic.patch_forms(fitting) for fitting in wanted.fittings]
        self.rows = sparse.vstack([grip.rows for grip in grips], format="csr")
        self.middles = np.array([grip.middle for grip in grips])
        weight, self.volume, self.centre = elastic.weight_loads()
        self._loads = sparse.hstack([self.rows.T, sparse.csr_array(weight)], format="csc")
        free, self._held = elastic.held_lightly()
        self._inverse = Inverse(elastic.stiffness, free)

    @cached_property
    def fields(self) -> Numbers:
        """Displacements under all unit loads, (unknowns, 6 n + 3): at the fittings, then weight."""
        return self._inverse(self._loads)

    @property
    def flexibility(self) -> Numbers:
        """The fittings' motions under all unit loads, (6 n, 6 n + 3)."""
        return np.asarray(self.rows @ self.fields)

    def under(self, forces: Numbers) -> Numbers:
        """Displacements under forces at the fittings, (6 n, k) to (unknowns, k)."""
        return self._inverse(sparse.csc_array(self.rows.T @ forces))

    def work(self, fields: Numbers, forces: Numbers) -> Numbers:
        """Of the forces (6 n, k) on their own displacements, (k,)."""
        return np.asarray(np.einsum("nk,nk->k", self.rows @ fields, forces))

    def forces_under(self, wanted: Wanted) -> Numbers:
        """What each watched load puts on the fittings, shared out by the blocks, (6 n, watched)."""
        n = self.rows.shape[0]
        flexibility = self.flexibility
        solid = Flexibility(
            fittings=tuple(fitting.name for fitting in wanted.fittings), middle_mm=self.middles,
            by_load=flexibility[:, :n], by_weight=flexibility[:, n:], centre_mm=self.centre,
        )  # fmt: skip
        return np.stack([_in_balance(solid, wanted, name) for name in wanted.watch], axis=1)

    def imbalance(self, fields: Numbers, forces: Numbers) -> float:
        """Largest reaction at the six unknowns that are lightly held, by the largest force there is."""
        matrix = self.elastic.stiffness
        source, answer = matrix.CreateColVector(), matrix.CreateColVector()
        worst = 0.0
        for field, load in zip(fields.T, (self.rows.T @ forces).T, strict=True):
            source.FV().NumPy()[:] = field
            answer.data = matrix * source
            worst = max(worst, float(np.abs((answer.FV().NumPy() - load)[self._held]).max() / np.abs(load).max()))
        return worst


def _in_balance(solid: Flexibility, wanted: Wanted, name: str) -> Numbers:
    """A watched load's forces on the fittings, (6 n,). Raises NotInBalance."""
    middles = dict(zip(solid.fittings, solid.middle_mm, strict=True))
    bodies, joints, loads = [Body(solid=solid)], [], []
    at: list[tuple[Numbers, Numbers]] = []
    for block, held in wanted.blocks.items():
        middles[block] = np.mean([middles[one] for one in held], axis=0)
        bodies.append(rigid_block(middles[block], {one: middles[one] for one in held}))
        joints += [Joint(one=(0, one), other=(len(bodies) - 1, one)) for one in held]
    for on, numbers in wanted.watch[name].items():
        six = np.asarray(numbers, dtype=float)
        place = (1 + list(wanted.blocks).index(on), "block") if on in wanted.blocks else (0, on)
        loads.append(Load(on=place, six=six))
        at.append((middles[on], six))
    arm = 1 + max(float(np.abs(middle).max()) for middle, _ in at)
    force = np.sum([six[:3] for _, six in at], axis=0)
    couple = np.sum([six[3:] + np.cross(middle, six[:3]) for middle, six in at], axis=0)
    size = max(float(np.abs(six[:3]).max()) * arm + float(np.abs(six[3:]).max()) for _, six in at)
    off = float(np.abs(force).max()) * arm + float(np.abs(couple).max())
    if off > IN_BALANCE * size:
        raise NotInBalance(f"{name}: the load leaves {100 * off / size:.2g} % of itself unbalanced")
    if wanted.blocks:
        try:
            forces = settle(bodies, joints, loads).forces[0]
        except NotHeld:
            raise NotInBalance(f"{name}: a part of the load has nothing to hold against") from None
    else:
        forces = np.zeros(len(solid.by_load))
        for load in loads:
            forces[solid.rows(load.on[1])] += load.six
    rigid = solid.rigid
    return np.asarray(forces - rigid @ np.linalg.lstsq(rigid, forces, rcond=None)[0])


class Inverse:
    """A matrix factorised on its free unknowns, for many loads."""

    def __init__(self, matrix: Any, free: ng.BitArray) -> None:
        self._matrix = matrix
        self._inverse = matrix.Inverse(free, inverse="sparsecholesky")

    def __call__(self, loads: sparse.csc_array) -> Numbers:
        """Fields under loads, (unknowns, k) both."""
        source, answer = self._matrix.CreateColVector(), self._matrix.CreateColVector()
        fields = np.empty(loads.shape)
        for k in range(loads.shape[1]):
            source.FV().NumPy()[:] = loads[:, [k]].toarray().ravel()
            answer.data = self._inverse * source
            fields[:, k] = answer.FV().NumPy()
        return fields


def _worst_elements(
    second: Elastic, third: Elastic, fields: tuple[Numbers, Numbers], work: Numbers, shorter: float
) -> list[tuple[tuple[float, ...], float]]:
    """Middles of the elements that hold most of the second order's error, with a length so much shorter.

    The error is taken as the third order's field less the second's, in energy. Stresses averaged at corners
    (Zienkiewicz and Zhu) see little of it in twisted bars, where it lies all over the free surface.
    The solid is meshed anew with these: elements that are cut in two grow flat, and took three times as many.
    """
    import ngsolve as ng

    share = np.zeros(third.mesh.ne)
    two, three = ng.GridFunction(second.space), ng.GridFunction(third.space)
    density = third.energy(ng.Grad(three) - ng.Grad(two))
    for k, done in enumerate(work):
        two.vec.FV().NumPy()[:] = fields[0][:, k]
        three.vec.FV().NumPy()[:] = fields[1][:, k]
        share += np.asarray(ng.Integrate(density, third.mesh, element_wise=True).NumPy()) / done
    order = np.argsort(share)[::-1]
    worst = order[: int(np.searchsorted(np.cumsum(share[order]), WORST * share.sum())) + 1]
    nodes = Nodes(second)
    middles = second.corners_mm[nodes.tets[worst, :4]].mean(axis=1)
    lengths = (6 * np.sqrt(2) * nodes.volumes[worst]) ** (1 / 3)  # of a regular tetrahedron's edge
    return [(tuple(middle), shorter * float(length)) for middle, length in zip(middles.tolist(), lengths, strict=True)]


def _worst_places(nodes: Nodes, fields: Numbers, wanted: Wanted) -> tuple[np.ndarray[Any, Any], Numbers]:
    """Corners with the highest stresses of each watched load, some way apart, off the patches themselves.

    Under a patch the stress is that of the pressure we assume there, and says little.
    """
    points = nodes.elastic.corners_mm
    off = np.ones(len(points), dtype=bool)
    for fitting in wanted.fittings:
        for patch in fitting.patches:
            off &= np.linalg.norm(points - np.array(patch.at_mm), axis=1) > reach_mm(patch)
    chosen: dict[int, float] = {}
    for field in fields.T:
        mean, own = nodes.stress(field)
        size = von_mises(mean)
        apart = np.zeros(nodes.corners)
        tets = nodes.tets[:, :4]
        np.maximum.at(apart, tets.ravel(), von_mises(own - mean[tets]).ravel())
        left = np.where(off, size, -1.0)
        for _ in range(PLACES):
            worst = int(np.argmax(left))
            if left[worst] <= 0:
                break
            chosen[worst] = max(chosen.get(worst, 0.0), float(apart[worst] / size[worst]))
            left[np.linalg.norm(points - points[worst], axis=1) < APART_MM] = -1.0
    return np.array(list(chosen), dtype=int), np.array(list(chosen.values()))
