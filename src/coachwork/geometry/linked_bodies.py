"""Where linked bodies are when every constraint holds, and how freely they can move.

Newton's method on the joints' own motions, in all poses at once. Use it where no closed form exists; where one does,
this is the independent check on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.mechanism import Body, Constraint, Distance, Inclination, Pose, Position, Turn, equations
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, length

LARGEST_TURN = 0.5  # rad a step: a longer one leaves the region in which Newton's step means anything


class NotAssembledError(ArithmeticError):
    """The constraints could not be met in some poses: how far the worst is off, after how many steps from drawn."""

    def __init__(self, *, residual: float, iterations: int, poses: int) -> None:
        self.residual, self.iterations, self.poses = residual, iterations, poses
        super().__init__(f"{poses} poses stay open by up to {residual:.6g} after {iterations} Newton steps from drawn")


@dataclass(frozen=True, eq=False, kw_only=True)
class Assembly:
    """Where the bodies are: motions from drawn points to points now, NaN in poses that did not converge."""

    bodies: tuple[Body, ...]
    motions: tuple[Motion, ...]  # same order
    residual: Array  # (..., constraints): value now minus value wanted, in the constraint's own unit
    iterations: int  # of the slowest pose
    converged: NDArray[np.bool_]  # (...)

    def motion(self, body: Body) -> Motion:
        """Where this body is."""
        return self.motions[self.bodies.index(body)]

    def checked(self) -> Assembly:
        """Itself, or NotAssembledError if any pose did not converge."""
        if not self.converged.all():
            worst = np.max(np.abs(self.residual[~self.converged]), axis=-1)
            raise NotAssembledError(residual=float(worst.max()), iterations=self.iterations, poses=len(worst))
        return self


@dataclass(frozen=True, eq=False, kw_only=True)
class Mobility:
    """How freely bodies can move in the drawn pose, to first order."""

    rates: int  # of all joints together
    constraints: int
    independent: NDArray[np.intp]  # (...), constraints that take away a freedom of their own

    @property
    def freedoms(self) -> NDArray[np.intp]:
        """Independent ways to move that remain: (...)."""
        return np.asarray(self.rates - self.independent)

    @property
    def redundant(self) -> NDArray[np.intp]:
        """Constraints too many, (...): they agree with the others only if every length is exactly right."""
        return np.asarray(self.constraints - self.independent)


def mobility(bodies: Sequence[Body], constraints: Sequence[Constraint]) -> Mobility:
    """Count the freedoms that constraints (without drives) leave, by the rank of their derivatives as drawn.

    First order only: a drawn pose at a dead centre has more freedoms than its neighbours.
    """
    drawn, span = Pose.drawn(bodies, _batch(bodies, constraints)), _span(constraints)
    _, jacobian = equations(drawn, constraints)
    # Turns count by what they move at the linkage's own size, so that the rank does not hang on the unit of length.
    rows = np.array([span if isinstance(each, Inclination) else 1.0 for each in constraints])
    singular = np.linalg.svd(jacobian * np.where(drawn.turns, 1.0 / span, 1.0) * rows[:, None], compute_uv=False)
    # Measured hardpoints do not line up to 1e-6 of their size; drawn ones that do are off by rounding only, 1e-15.
    independent = np.sum(singular > 1e-9 * singular[..., :1], axis=-1)
    return Mobility(rates=jacobian.shape[-1], constraints=len(constraints), independent=np.asarray(independent))


def assemble(
    bodies: Sequence[Body],
    constraints: Sequence[Constraint],
    *,
    yielding: Sequence[Constraint] = (),
    tolerance: float = 1e-11,
    most_iterations: int = 40,
    stages: int = 1,
) -> Assembly:
    """Move the bodies from where they were drawn until every constraint holds.

    bodies       : a body after the one it hangs on
    constraints  : as many as the joints have rates, for one answer a pose; more must agree with each other
    yielding     : those among the constraints that may be missed when they cannot all be met; the sum of their squared
                   residuals is then least, the others hold exactly
    tolerance    : on every residual, in its own unit. 1e-11 is a hundred roundings of a length of 1000, and the next
                   step would square it
    stages       : more than 1 walks from the drawn values to the wanted ones in as many steps, which keeps to the
                   drawn branch where one leap would not
    Convergence  : quadratic; with yielding constraints that stay open, linear by about (residual / distance) a step
    Not possible : NaN motions and `converged` False; `.checked()` raises instead
    """
    soft = np.array([any(each is other for other in yielding) for each in constraints])
    pose = Pose.drawn(bodies, _batch(bodies, constraints))
    turns, span = pose.turns, _span(constraints)
    weights = np.where(turns, 1.0 / span, 1.0)
    residual, jacobian = equations(pose, constraints)
    drawn_residual, iterations = residual, 0
    with np.errstate(all="ignore"):  # a pose that cannot assemble may run off to infinity; its mask says so
        while True:
            closed = np.abs(residual) <= tolerance
            done = np.asarray(closed.all(axis=-1))
            if done.all() or iterations == most_iterations:
                break
            still_allowed = max(0.0, 1.0 - (iterations + 1) / stages)
            step = _newton_step(residual - still_allowed * drawn_residual, jacobian * weights, soft)
            if soft.any() and iterations >= stages:
                # What yields may stay open: it is done when nothing moves any more. The step is in the unit of length.
                done |= closed[..., ~soft].all(axis=-1) & np.all(np.abs(step) < 10 * tolerance, axis=-1)
                if done.all():
                    break
            iterations += 1
            rates = np.where(done[..., None], 0.0, step * weights)
            largest = np.max(np.abs(rates[..., turns]), axis=-1, keepdims=True, initial=LARGEST_TURN)
            pose = pose.moved(rates * (LARGEST_TURN / largest))
            residual, jacobian = equations(pose, constraints)
    lost = np.where(done, 1.0, np.nan)
    return Assembly(
        bodies=pose.bodies,
        motions=tuple(Motion(m.rotation * lost[..., None, None], m.shift * lost[..., None]) for m in pose.motions),
        residual=residual,
        iterations=iterations,
        converged=np.asarray(done),
    )


def _newton_step(residual: Array, jacobian: Array, soft: NDArray[np.bool_]) -> Array:
    """The rates that undo the residual to first order, (..., rates): exactly if they can, else nearest (see `soft`)."""
    if not soft.any():
        if jacobian.shape[-1] == jacobian.shape[-2]:
            try:
                return np.asarray(-np.linalg.solve(jacobian, residual[..., None])[..., 0])
            except np.linalg.LinAlgError:
                pass  # one singular pose spoils the whole stack: the pseudo-inverse does all of them, slower
        return _least_squares(jacobian, -residual)
    hard_rows, soft_rows = jacobian[..., ~soft, :], jacobian[..., soft, :]
    hard, size = hard_rows.shape[-2], jacobian.shape[-1]
    # Least squares under exact side conditions by Lagrange multipliers: a Gauss-Newton step.
    system = np.zeros((*jacobian.shape[:-2], size + hard, size + hard))
    system[..., :size, :size] = np.swapaxes(soft_rows, -1, -2) @ soft_rows
    system[..., :size, size:] = np.swapaxes(hard_rows, -1, -2)
    system[..., size:, :size] = hard_rows
    pull = np.einsum("...cr,...c->...r", soft_rows, residual[..., soft])
    return _least_squares(system, -np.concatenate([pull, residual[..., ~soft]], axis=-1))[..., :size]


def _least_squares(matrix: Array, wanted: Array) -> Array:
    """Least-squares answers of least length, (..., columns); a row with NaN stays NaN, which numpy would refuse."""
    lost = np.asarray(~(np.isfinite(matrix).all((-2, -1)) & np.isfinite(wanted).all(-1)))
    inverse = np.linalg.pinv(np.where(lost[..., None, None], 0.0, matrix), rcond=1e-11)
    return np.where(lost[..., None], np.nan, np.einsum("...rc,...c->...r", inverse, wanted))


def _batch(bodies: Sequence[Body], constraints: Sequence[Constraint]) -> tuple[int, ...]:
    """Batch axes common to everything given."""
    vectors = [body.point for body in bodies] + [body.direction for body in bodies if body.direction is not None]
    scalars: list[Array] = []
    for each in constraints:
        match each:
            case Distance():
                vectors += [each.point, each.other_point]
                scalars.append(each.distance)
            case Position():
                vectors += [each.point, each.direction]
                scalars.append(each.value)
            case Inclination():
                vectors += [each.direction, each.against]
                scalars.append(each.value)
            case Turn():
                scalars.append(each.angle)
    return np.broadcast_shapes(*(np.shape(v)[:-1] for v in vectors), *(np.shape(s) for s in scalars))


def _span(constraints: Sequence[Constraint]) -> float:
    """The size of the linkage, for comparing turns with shifts: the mean distance of its points from the first one."""
    points = [each.point for each in constraints if isinstance(each, Distance | Position)]
    points += [each.other_point for each in constraints if isinstance(each, Distance)]
    spread = [float(np.mean(length(np.subtract(point, points[0])))) for point in points]
    return float(np.mean(spread)) if any(spread) else 1.0
