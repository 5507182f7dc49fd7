"""The circle through noisy points that do not all belong to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.scans.mesh import Numbers

BIWEIGHT = 4.685  # residuals beyond this many standard deviations count nothing (Beaton and Tukey 1974)


@dataclass(frozen=True, eq=False, kw_only=True)
class Circle:
    """Centre and radius, any one length unit.

    rms        : of the points that count, across the circle
    covariance : (3, 3), of centre and radius, from the scatter of the points
    weights    : (n,), how much each point counts, 0 to 1
    """

    centre: Numbers  # (2,)
    radius: float
    rms: float
    covariance: Numbers
    weights: Numbers

    @property
    def sigmas(self) -> Numbers:
        """Standard deviations of centre and radius, (3,)."""
        return np.sqrt(np.diag(self.covariance))


def fitted(points: Numbers, *, centre: Numbers, radius: float, least_scale: float, steps: int = 30) -> Circle:
    """Geometric fit by Gauss-Newton, reweighted with Tukey's biweight, from a first guess.

    points      : (n, 2)
    least_scale : the scatter is not taken to be less than this, so that a few good points do not oust the rest
    Source      : residual |p - c| - r, the distance to the circle itself (Gander, Golub and Strebel 1994, section 3)

    >>> turn = np.radians(np.arange(0, 180, 5))
    >>> points = np.stack([3 + 43 * np.cos(turn), 5 + 43 * np.sin(turn)], axis=1)
    >>> points[7] += 9.0  # does not belong to it
    >>> circle = fitted(points, centre=np.array([0.0, 0.0]), radius=40.0, least_scale=0.01)
    >>> circle.centre.round(9), round(circle.radius, 9)
    (array([3., 5.]), 43.0)
    """
    unknowns = np.array([*centre, radius], dtype=float)
    weights = np.ones(len(points))
    for _ in range(steps):
        away = points - unknowns[:2]
        distance = np.maximum(np.linalg.norm(away, axis=1), 1e-12)
        residual = distance - unknowns[2]
        scale = max(float(np.median(np.abs(residual))) / 0.6745, least_scale)
        ratio = residual / (BIWEIGHT * scale)
        weights = np.where(np.abs(ratio) < 1, (1 - ratio**2) ** 2, 0.0)
        slopes = np.column_stack([-away / distance[:, None], -np.ones(len(points))])
        normal = (slopes * weights[:, None]).T @ slopes
        change = np.linalg.lstsq(normal, -(slopes * weights[:, None]).T @ residual, rcond=None)[0]
        unknowns = unknowns + change
        if np.abs(change).max() < 1e-10 * unknowns[2]:
            break
    total = float(weights.sum())
    rms = float(np.sqrt((weights * residual**2).sum() / max(total, 1e-12)))
    covariance = np.linalg.pinv(normal) * rms**2 * total / max(total - 3, 1.0)
    return Circle(centre=unknowns[:2], radius=float(unknowns[2]), rms=rms, covariance=covariance, weights=weights)
