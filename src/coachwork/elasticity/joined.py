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
    """A solid and its modulus, (samples,) MPa."""

    solid: Flexibility
    modulus_mpa: Numbers


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
    return Body(solid=solid, modulus_mpa=np.ones(1))


@dataclass(frozen=True, kw_only=True, eq=False)
class Settled:
    """How it settles, for each sample.

    motions : of each body's fittings, (samples, 6 n)      forces : on each body's fittings, (samples, 6 n)
    joints  : what each joint carries, (samples, k) each
    """

    bodies: tuple[Body, ...]
    motions: tuple[Numbers, ...]
    forces: tuple[Numbers, ...]
    weights_n: tuple[Numbers, ...]
    joints: tuple[Numbers, ...]

    def motion(self, body: int, fitting: str) -> Numbers:
        """Displacement, mm, and rotation, rad, of a fitting, (samples, 6)."""
        return self.motions[body][:, self.bodies[body].solid.rows(fitting)]

    def stress_mpa(self, body: int) -> Numbers:
        """At the body's kept places, (samples, places, 6)."""
        kept = self.bodies[body].solid
        if not isinstance(kept, Kept):
            raise TypeError("stresses are kept of finite elements only")
        by_weight = np.einsum("mck,k->mc", kept.stress_by_weight, self.weights_n[body])
        return np.asarray(np.einsum("mck,sk->smc", kept.stress_by_load, self.forces[body]) + by_weight)


def settle(
    bodies: Sequence[Body], joints: Sequence[Joint], loads: Sequence[Load], weights_n: Sequence[Numbers] | None = None
) -> Settled:
    """Motions and forces. Joints that only push are let go where they would pull, one sample at a time.

    weights_n : weight along x, y, z of each body, (3,) each
    Raises NotHeld.
    """
    weights = [np.zeros(3) for _ in bodies] if weights_n is None else list(weights_n)
    samples = max(len(np.atleast_1d(body.modulus_mpa)) for body in bodies)
    moduli = [np.broadcast_to(np.atleast_1d(body.modulus_mpa), (samples,)) for body in bodies]
    solved = [_one(bodies, [m[k] for m in moduli], joints, loads, weights) for k in range(samples)]
    return Settled(
        bodies=tuple(bodies),
        motions=tuple(np.array([one[0][b] for one in solved]) for b in range(len(bodies))),
        forces=tuple(np.array([one[1][b] for one in solved]) for b in range(len(bodies))),
        weights_n=tuple(weights),
        joints=tuple(np.array([one[2][j] for one in solved]) for j in range(len(joints))),
    )


_Answer = tuple[list[Numbers], list[Numbers], list[Numbers]]


def _one(bodies: Sequence[Body], moduli: Sequence[float], joints: Sequence[Joint], loads: Sequence[Load],
         weights: Sequence[Numbers]) -> _Answer:  # fmt: skip
    """One sample. Of the joints that only push, the first that pulls is let go, or that crosses is closed, one a turn.

    Murty's least-index rule: it comes to an end where the joints' flexibility is positive definite.
    """
    closed = [True] * len(joints)
    for _ in range(4 ** min(8, sum(joint.only_push for joint in joints)) + 1):
        answer, gaps = _with(bodies, moduli, joints, loads, weights, closed)
        pull = LOOSE * max((float(np.abs(carried).max()) for carried in answer[2]), default=0.0)
        gape = LOOSE * max(float(np.abs(motion).max()) for motion in answer[0])
        wrong = [
            k for k, joint in enumerate(joints) if joint.only_push
            and (float(answer[2][k][0]) < -pull if closed[k] else gaps[k] < -gape)
        ]  # fmt: skip
        if not wrong:
            return answer
        closed[wrong[0]] = not closed[wrong[0]]
    raise NotHeld("which lips bear and which lift could not be settled")


def _with(bodies: Sequence[Body], moduli: Sequence[float], joints: Sequence[Joint], loads: Sequence[Load],
          weights: Sequence[Numbers], closed: Sequence[bool]) -> tuple[_Answer, list[float]]:  # fmt: skip
    sizes = [body.solid.by_load.shape[0] for body in bodies]
    starts = np.concatenate([[0], np.cumsum(sizes)]).astype(int)
    flexible = np.zeros((starts[-1], starts[-1]))
    rigid = np.zeros((starts[-1], 6 * len(bodies)))
    bent, balance = np.zeros(starts[-1]), np.zeros(6 * len(bodies))
    for b, body in enumerate(bodies):
        part = slice(starts[b], starts[b + 1])
        flexible[part, part] = body.solid.by_load / moduli[b]
        rigid[part, 6 * b : 6 * b + 6] = body.solid.rigid
        bent[part] = body.solid.by_weight @ weights[b] / moduli[b]
        balance[6 * b : 6 * b + 6] = body.solid.weight_resultant @ weights[b]
    forces = np.zeros(starts[-1])
    for load in loads:
        six = bodies[load.on[0]].solid.rows(load.on[1])
        forces[starts[load.on[0]] + six.start : starts[load.on[0]] + six.stop] += load.six
    bent += flexible @ forces
    balance += rigid.T @ forces
    rows_of = [_rows(joint, bodies, starts) for joint in joints]
    kept = [k for k, is_closed in enumerate(closed) if is_closed]
    rows = np.vstack([rows_of[k] for k in kept]) if kept else np.zeros((0, starts[-1]))
    matrix = np.block([[rows @ flexible @ rows.T, rows @ rigid], [(rows @ rigid).T, np.zeros((6 * len(bodies),) * 2)]])
    right = -np.concatenate([rows @ bent, balance])
    unknown = _solved(matrix, right)
    joint_forces, moved = unknown[: len(rows)], unknown[len(rows) :]
    forces = forces + rows.T @ joint_forces
    motion = bent + flexible @ (rows.T @ joint_forces) + rigid @ moved
    carried, at = [np.zeros(len(each)) for each in rows_of], 0
    for k in kept:
        carried[k] = joint_forces[at : at + len(rows_of[k])]
        at += len(rows_of[k])
    gaps = [float((each @ motion).sum()) for each in rows_of]
    cuts = starts[1:-1]
    return (np.split(motion, cuts), np.split(forces, cuts), carried), gaps


def _rows(joint: Joint, bodies: Sequence[Body], starts: np.ndarray[Any, Any]) -> Numbers:
    """Of `other`'s motion less `one`'s, both at the middle of `one`.

    The two meshes see slightly different middles of one pad. Shifts taken at two places would hold a turn of the whole.
    """
    out = np.zeros((len(joint.along), starts[-1]))
    for end, sign in ((joint.one, -1.0), (joint.other, 1.0)):
        if end is not None:
            six = bodies[end[0]].solid.rows(end[1])
            at = slice(starts[end[0]] + six.start, starts[end[0]] + six.stop)
            out[:, at] += sign * joint.along @ moved_to(_middle(bodies, joint.one) - _middle(bodies, end))
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
    """Symmetric, scaled; a rigid motion that nothing holds and nothing pushes is left out."""
    scale = 1 / np.sqrt(np.maximum(np.abs(matrix).max(axis=1), 1e-300))
    values, vectors = np.linalg.eigh(matrix * scale * scale[:, None])
    parts = vectors.T @ (right * scale)
    free = np.abs(values) < 1e-11 * np.abs(values).max()
    if np.abs(parts[free]).max(initial=0.0) > 1e-6 * np.abs(right * scale).max():
        raise NotHeld("it is not held against its load")
    parts[~free] /= values[~free]
    parts[free] = 0.0
    return np.asarray(scale * (vectors @ parts))
