"""Solids joined at their fittings, held and loaded: a handful of equations from their flexibilities.

Each solid floats: its fittings move by what the loads bend it, and by a rigid motion of its own. Joints and supports
are forces that are not known; they close the gaps, and each solid is in balance. This is the method of forces, as in
dual substructuring of finite elements.

    motion of fittings = flexibility / modulus x forces + rigid motion        each solid
    joint: motions agree along its directions         support: they vanish    balance: forces and couples sum to 0
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import numpy as np

from coachwork.build import Numbers
from coachwork.elasticity.flexibility import Flexibility, Kept

ALL_SIX = np.eye(6)
SHIFTS = np.eye(6)[:3]
LOOSE = 1e-9  # of the largest force: less than this pulls nothing; also what may be left unbalanced


class NotHeld(Exception):
    """The joints and supports leave something free to move that the loads would carry away."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Body:
    """A solid and its Young's modulus, MPa."""

    solid: Flexibility
    modulus_mpa: float = 1.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Joint:
    """Two fittings that move together, or one that is held where `other` is None.

    one, other : body number and fitting;  along : (k, 6), the directions in which they do, unit vectors
    only_push  : the joint can push one against the other, never pull; `along` then points out of `one`'s material, and
                 what the joint carries is positive
    """

    one: tuple[int, str]
    other: tuple[int, str] | None = None
    along: Numbers = field(default_factory=lambda: ALL_SIX)
    only_push: bool = False


@dataclass(frozen=True, kw_only=True, eq=False)
class Load:
    """Force and couple on a fitting, (6,)."""

    on: tuple[int, str]
    six: Numbers


def rigid_block(middle_mm: Numbers, screws: Mapping[str, Numbers]) -> Body:
    """Something stiff, such as an axle's bulkhead: fittings at its screws, (3,) each, and "block" in its middle."""
    names = ("block", *screws)
    count = 6 * len(names)
    solid = Flexibility(
        fittings=names, middle_mm=np.vstack([middle_mm, *screws.values()]), by_load=np.zeros((count, count)),
        by_weight=np.zeros((count, 3)), centre_mm=np.asarray(middle_mm, dtype=float),
    )  # fmt: skip
    return Body(solid=solid)


@dataclass(frozen=True, kw_only=True, eq=False)
class Settled:
    """How it settles.

    motions : of each body's fittings, (6 n,)      forces : on each body's fittings, (6 n,)
    floats  : each body's rigid motion, (6,): a shift, and a turn about the axes through the origin
    joints  : what each joint carries, (k,) each; of one that only pushes, positive, or 0 where it is open
    """

    bodies: tuple[Body, ...]
    motions: tuple[Numbers, ...]
    forces: tuple[Numbers, ...]
    weights_n: tuple[Numbers, ...]
    floats: tuple[Numbers, ...]
    joints: tuple[Numbers, ...]

    def motion(self, body: int, fitting: str) -> Numbers:
        """Displacement, mm, and rotation, rad, of a fitting, (6,)."""
        return self.motions[body][self.bodies[body].solid.rows(fitting)]

    def sections_mm(self, body: int) -> Numbers:
        """Displacements of the body's kept slices, (slices, 3)."""
        held = self.bodies[body]
        if not isinstance(held.solid, Kept):
            raise TypeError("slices are kept of finite elements only")
        kept = held.solid
        bent = kept.section_by_load @ self.forces[body] + kept.section_by_weight @ self.weights_n[body]
        shift, turn = np.split(self.floats[body], 2)
        return np.asarray(bent / held.modulus_mpa + shift + np.cross(turn, kept.sections_mm))

    def stress_mpa(self, body: int) -> Numbers:
        """At the body's kept places, (places, 6)."""
        kept = self.bodies[body].solid
        if not isinstance(kept, Kept):
            raise TypeError("stresses are kept of finite elements only")
        return np.asarray(kept.stress_by_load @ self.forces[body] + kept.stress_by_weight @ self.weights_n[body])


def settle(
    bodies: Sequence[Body], joints: Sequence[Joint], loads: Sequence[Load], weights_n: Sequence[Numbers] | None = None
) -> Settled:
    """Motions and forces; joints that only push are let go where they would pull.

    weights_n : weight along x, y, z of each body, (3,) each
    Raises NotHeld.
    """
    weights = [np.zeros(3) for _ in bodies] if weights_n is None else list(weights_n)
    starts = np.concatenate([[0], np.cumsum([len(body.solid.by_load) for body in bodies])]).astype(int)
    parts = [slice(low, high) for low, high in pairwise(starts)]
    flexible = np.zeros((starts[-1], starts[-1]))
    rigid = np.zeros((starts[-1], 6 * len(bodies)))
    forces, bent, balance = np.zeros(starts[-1]), np.zeros(starts[-1]), np.zeros(6 * len(bodies))
    for b, (body, part) in enumerate(zip(bodies, parts, strict=True)):
        flexible[part, part] = body.solid.by_load / body.modulus_mpa
        rigid[part, 6 * b : 6 * b + 6] = body.solid.rigid
        bent[part] = body.solid.by_weight @ weights[b] / body.modulus_mpa
        balance[6 * b : 6 * b + 6] = body.solid.weight_resultant @ weights[b]
    for load in loads:
        forces[_at(load.on, bodies, starts)] += load.six
    bent += flexible @ forces
    balance += rigid.T @ forces

    rows_of = [_rows(joint, bodies, starts) for joint in joints]
    rows = np.vstack(rows_of)
    ends = np.cumsum([len(each) for each in rows_of])
    matrix = np.block([[rows @ flexible @ rows.T, rows @ rigid], [(rows @ rigid).T, np.zeros((6 * len(bodies),) * 2)]])
    pushes = np.array([end - 1 for end, joint in zip(ends, joints, strict=True) if joint.only_push], dtype=int)
    opened = np.zeros((len(matrix), len(pushes)))
    opened[pushes, np.arange(len(pushes))] = 1.0
    solved = _solved(matrix, np.column_stack([-np.concatenate([rows @ bent, balance]), opened]))
    unknown, by_gap = solved[:, 0], solved[:, 1:]
    if len(pushes):
        unknown = unknown + by_gap @ _gaps(unknown[pushes], by_gap[pushes])
    carried, moved = unknown[: len(rows)], unknown[len(rows) :]
    motion = bent + flexible @ (rows.T @ carried) + rigid @ moved
    forces = forces + rows.T @ carried
    return Settled(
        bodies=tuple(bodies), motions=tuple(motion[part] for part in parts), forces=tuple(forces[p] for p in parts),
        weights_n=tuple(weights), floats=tuple(np.split(moved, len(bodies))),
        joints=tuple(np.split(carried, ends[:-1])),
    )  # fmt: skip


def _gaps(push: Numbers, by_gap: Numbers) -> Numbers:
    """Gaps, none negative, that leave no joint pulling, and none that gapes pushing: push + by_gap x gap.

    push : with all closed    by_gap : symmetric; a linear complementarity problem
    Murty's least-index rule, which comes to an end where `by_gap` is positive definite.
    """
    none = LOOSE * np.abs(push).max(initial=0.0)
    is_open = np.zeros(len(push), dtype=bool)
    for _ in range(4 ** min(len(push), 8) + 1):
        gap = np.zeros(len(push))
        if is_open.any():
            gap[is_open] = -np.linalg.lstsq(by_gap[np.ix_(is_open, is_open)], push[is_open], rcond=1e-11)[0]
        left = push + by_gap @ gap
        wrong = np.flatnonzero(np.where(is_open, gap < -LOOSE * np.abs(gap).max(), left < -none))
        if not wrong.size:
            return gap
        is_open[wrong[0]] = ~is_open[wrong[0]]
    raise NotHeld("which lips bear and which lift could not be settled")


def _at(end: tuple[int, str], bodies: Sequence[Body], starts: np.ndarray[Any, Any]) -> slice:
    six = bodies[end[0]].solid.rows(end[1])
    return slice(starts[end[0]] + six.start, starts[end[0]] + six.stop)


def _rows(joint: Joint, bodies: Sequence[Body], starts: np.ndarray[Any, Any]) -> Numbers:
    """Of `other`'s motion less `one`'s, both at the middle of `one`.

    The two meshes see slightly different middles of one pad. Shifts taken at two places would hold a turn of the whole.
    """
    out = np.zeros((len(joint.along), starts[-1]))
    for end, sign in ((joint.one, -1.0), (joint.other, 1.0)):
        if end is not None:
            arm = _middle(bodies, joint.one) - _middle(bodies, end)
            out[:, _at(end, bodies, starts)] += sign * joint.along @ moved_to(arm)
    return out


def moved_to(arm_mm: Numbers) -> Numbers:
    """(6, 6): the motion of a rigid body at a point an arm away, from that at its start."""
    out = np.eye(6)
    out[:3, 3:] = np.cross(np.eye(3), arm_mm).T
    return out


def _middle(bodies: Sequence[Body], end: tuple[int, str]) -> Numbers:
    solid = bodies[end[0]].solid
    return np.asarray(solid.middle_mm[solid.fittings.index(end[1])])


def _solved(matrix: Numbers, right: Numbers) -> Numbers:
    """Symmetric; (n, k) right sides. Raises NotHeld where a free motion would be pushed."""
    scale = 1 / np.sqrt(np.maximum(np.abs(matrix).max(axis=1), 1e-300))
    scaled, sides = matrix * scale * scale[:, None], right * scale[:, None]
    values, vectors = np.linalg.eigh(scaled)
    parts = vectors.T @ sides
    free = np.abs(values) < 1e-11 * np.abs(values).max()
    if np.abs(parts[free]).max(initial=0.0) > 1e-6 * np.abs(sides[:, 0]).max():
        raise NotHeld("it is not held against its load")
    parts[~free] /= values[~free][:, None]
    parts[free] = 0.0
    return np.asarray(scale[:, None] * (vectors @ parts))
