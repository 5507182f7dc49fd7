"""A solid's flexibility by finite elements: meshed, loaded, compared with a higher order, refined until good enough."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy import sparse

from coachwork.build import Numbers
from coachwork.elasticity.fittings import Fitting, reach_mm
from coachwork.elasticity.flexibility import REMAINS, Flexibility, Kept
from coachwork.elasticity.job import Wanted
from coachwork.elasticity.joined import Body, Joint, Load, NotHeld, rigid_block, settle
from coachwork.elasticity.mesh import around, element_length_mm, meshed, read_solid
from coachwork.elasticity.nodes import Nodes
from coachwork.elasticity.space import Elastic, Gripped
from coachwork.elasticity.stress import von_mises
from coachwork.elasticity.surface import SurfaceStress, surface_stress
from coachwork.elasticity.third import Third
from coachwork.errors import CoachworkError

if TYPE_CHECKING:
    import ngsolve as ng

WORST = 0.85  # share of the error's energy whose elements are made smaller in one round
SHORTER = (0.5, 0.75)  # an element's new length by its old one, at most and at least
ROUNDS = 8
SECTIONS = 24  # slices whose motion is kept
PLACES = 40  # of each load that is watched
APART_MM = 2.0
IN_BALANCE = 1e-3  # of a watched load's own size: patches are not quite where they were typed
Tell = Callable[[str], None]
Take = Callable[[SurfaceStress], None]


class NotInBalance(CoachworkError):
    """A load that would carry the free solid away."""


def measured(wanted: Wanted, tell: Tell = lambda _: None, take_surface: Take = lambda _: None) -> Kept:
    """Mesh, solve, compare with the third order, refine where the two differ, until what it leaves is small enough.

    take_surface : is given the stress all over the surface under the watched loads

    Until then only the fittings that the watched loads are on are looked at. Raises NotASolid, NotMeshed, NoSurface,
    NotInBalance. Where `most_unknowns` ends it before, the error left stands in `watch_error`.
    """
    start = time.perf_counter()
    shape = read_solid(wanted.path)
    length, finer = wanted.coarseness * element_length_mm(shape), around(wanted.fittings)
    loaded = replace(wanted, fittings=_loaded(wanted))
    for attempt in range(1, ROUNDS + 1):
        tell("meshing")
        mesh = meshed(shape, length_mm=length, finer=finer)
        tell(f"{mesh.ne} elements, second order")
        second = Solved(Elastic(mesh, 2, wanted.poisson), loaded)
        forces = second.forces_under(loaded)
        fields = second.under(forces)
        tell(f"{mesh.ne} elements, third order")
        third = Third(second.elastic, second.inverse)
        added = third.addition(fields, _loads(third.elastic, loaded, forces))
        work = second.work(fields, forces) + added.energy
        error = added.energy / work
        if (REMAINS * error <= wanted.accuracy).all() or 1.5 * third.elastic.unknowns > wanted.most_unknowns:
            break
        tell(f"error {100 * error.max():.1f} %, refining ({attempt})")
        shorter = float(np.clip(0.9 * wanted.accuracy / (REMAINS * error.max()), *SHORTER))
        finer += _worst_elements(second.elastic, third.elastic, added.fields, work, shorter)
    del third
    tell("all fittings")
    whole = second.with_all(wanted)
    flexibility, n = whole.flexibility, whole.rows.shape[0]
    tell("stresses")
    nodes = Nodes(whole.elastic)
    take_surface(surface_stress(nodes, fields, tuple(wanted.watch)))
    chosen, unsure = _worst_places(nodes, fields, wanted)
    stress = nodes.stress_at(chosen, whole.fields)
    places, by_unit = _sections(whole)
    return Kept(
        fittings=tuple(fitting.name for fitting in wanted.fittings),
        middle_mm=whole.middles,
        by_load=flexibility[:, :n],
        by_weight=flexibility[:, n:],
        centre_mm=whole.centre,
        places_mm=whole.elastic.corners_mm[chosen],
        stress_by_load=stress[..., :n],
        stress_by_weight=stress[..., n:],
        unsure=unsure,
        sections_mm=places,
        section_by_load=by_unit[..., :n],
        section_by_weight=by_unit[..., n:],
        watched=tuple(wanted.watch),
        watch_error=error,
        volume_mm3=whole.volume,
        poisson=wanted.poisson,
        imbalance=second.imbalance(fields, forces),
        elements=int(mesh.ne),
        unknowns=whole.elastic.unknowns,
        seconds=time.perf_counter() - start,
    )


def _loaded(wanted: Wanted) -> tuple[Fitting, ...]:
    """The fittings that the watched loads are on, straight or by a block."""
    names = {one for load in wanted.watch.values() for on in load for one in wanted.blocks.get(on, (on,))}
    return tuple(fitting for fitting in wanted.fittings if fitting.name in names)


def _loads(elastic: Elastic, wanted: Wanted, forces: Numbers) -> Numbers:
    """Forces at the fittings (6 n, k) as loads on the unknowns, (unknowns, k)."""
    rows = sparse.vstack([elastic.patch_forms(fitting).rows for fitting in wanted.fittings], format="csr")
    return np.asarray(rows.T @ forces)


class Solved:
    """The second order on one mesh, factorised, with some fittings; the same factors serve for more of them."""

    def __init__(self, elastic: Elastic, wanted: Wanted, like: Solved | None = None) -> None:
        self.elastic = elastic
        self._grips: dict[str, Gripped] = {} if like is None else like._grips
        self._fields: dict[str, Numbers] = {} if like is None else like._fields
        for fitting in wanted.fittings:
            if fitting.name not in self._grips:
                self._grips[fitting.name] = elastic.patch_forms(fitting)
        self.names = [fitting.name for fitting in wanted.fittings]
        grips = [self._grips[name] for name in self.names]
        self.rows = sparse.vstack([grip.rows for grip in grips], format="csr")
        self.middles = np.array([grip.middle for grip in grips])
        self.weight, self.volume, self.centre = elastic.weight_loads()
        if like is None:
            free, self._held = elastic.held_lightly()
            self.inverse = Inverse(elastic.stiffness, free)
        else:
            self.inverse, self._held = like.inverse, like._held

    def with_all(self, wanted: Wanted) -> Solved:
        """The same with all fittings; what was solved for before is not solved for again."""
        return Solved(self.elastic, wanted, like=self)

    @cached_property
    def fields(self) -> Numbers:
        """Displacements under all unit loads, (unknowns, 6 n + 3): at the fittings, then weight."""
        return np.hstack([*(self._fields_of(name) for name in self.names), self.inverse(sparse.csc_array(self.weight))])

    def _fields_of(self, name: str) -> Numbers:
        if name not in self._fields:
            self._fields[name] = self.inverse(sparse.csc_array(self._grips[name].rows.T))
        return self._fields[name]

    @property
    def flexibility(self) -> Numbers:
        """The fittings' motions under all unit loads, (6 n, 6 n + 3)."""
        return np.asarray(self.rows @ self.fields)

    def under(self, forces: Numbers) -> Numbers:
        """Displacements under forces at the fittings, (6 n, k) to (unknowns, k)."""
        return self.inverse(sparse.csc_array(self.rows.T @ forces))

    def work(self, fields: Numbers, forces: Numbers) -> Numbers:
        """Of the forces (6 n, k) on their own displacements, (k,)."""
        return np.asarray(np.einsum("nk,nk->k", self.rows @ fields, forces))

    def forces_under(self, wanted: Wanted) -> Numbers:
        """What each watched load puts on the fittings, shared out by the blocks, (6 n, watched)."""
        n = self.rows.shape[0]
        give = np.zeros((n, n))
        if wanted.blocks:
            for k, name in enumerate(self.names):
                give[:, 6 * k : 6 * k + 6] = self.rows @ self._fields_of(name)
        solid = Flexibility(
            fittings=tuple(self.names), middle_mm=self.middles, by_load=give, by_weight=np.zeros((n, 3)),
            centre_mm=self.centre,
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


def _sections(solved: Solved) -> tuple[Numbers, Numbers]:
    """Mean motions of slices across the solid's longest extent under all unit loads.

    Returns : the slices' middles (SECTIONS, 3), and their displacements (SECTIONS, 3, 6 n + 3)
    """
    points, share = solved.elastic.corners_mm, solved.elastic.corner_volumes
    low, high = points.min(axis=0), points.max(axis=0)
    axis = int(np.argmax(high - low))
    place = (points[:, axis] - low[axis]) / (high - low)[axis]
    number = np.minimum((place * SECTIONS).astype(int), SECTIONS - 1)
    sums = np.bincount(number, share, SECTIONS)
    mean = sparse.csr_array((share / sums[number], (number, np.arange(len(points)))), shape=(SECTIONS, len(points)))
    n = solved.elastic.scalar.ndof
    by_unit = [mean @ solved.fields[k * n : k * n + len(points)] for k in range(3)]
    return np.asarray(mean @ points), np.stack(by_unit, axis=1)


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
        self._inverse = matrix.Inverse(free, inverse="sparsecholesky")
        self._source, self._answer = matrix.CreateColVector(), matrix.CreateColVector()

    def of(self, load: Numbers) -> Numbers:
        """The field under one load, (unknowns,) both."""
        self._source.FV().NumPy()[:] = load
        self._answer.data = self._inverse * self._source
        return np.array(self._answer.FV().NumPy())

    def __call__(self, loads: sparse.csc_array) -> Numbers:
        """Fields under loads, (unknowns, k) both."""
        fields = np.empty(loads.shape)
        for k in range(loads.shape[1]):
            fields[:, k] = self.of(loads[:, [k]].toarray().ravel())
        return fields


def _worst_elements(
    second: Elastic, third: Elastic, added: Numbers, work: Numbers, shorter: float
) -> list[tuple[tuple[float, ...], float]]:
    """Middles of the elements that hold most of the second order's error, with a length so much shorter.

    The error is taken as what the third order adds, in energy. Stresses averaged at corners (Zienkiewicz and Zhu) see
    little of it in twisted bars, where it lies all over the free surface.
    The solid is meshed anew with these: elements that are cut in two grow flat, and took three times as many.
    """
    import ngsolve as ng

    share = np.zeros(third.mesh.ne)
    field = ng.GridFunction(third.space)
    density = third.energy(ng.Grad(field))
    for k, done in enumerate(work):
        field.vec.FV().NumPy()[:] = added[:, k]
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
        np.maximum.at(apart, tets.ravel(), np.where(nodes.sound, von_mises(own - mean[tets]), 0.0).ravel())
        left = np.where(off, size, -1.0)
        for _ in range(PLACES):
            worst = int(np.argmax(left))
            if left[worst] <= 0:
                break
            chosen[worst] = max(chosen.get(worst, 0.0), float(apart[worst] / size[worst]))
            left[np.linalg.norm(points - points[worst], axis=1) < APART_MM] = -1.0
    return np.array(list(chosen), dtype=int), np.array(list(chosen.values()))
