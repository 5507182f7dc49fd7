"""The scale that fits a set of dimensions best, errors in both measurements weighed, contradictions left out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.result import Result

# Full weight up to 3 standard deviations off, none beyond 6, in between in proportion: a weight that jumped would make
# the answer jump between samples, and chances are taken from differences between samples.
FULL_WITHIN, NONE_BEYOND = 3.0, 6.0
PASSES = 20  # from the median start, the fit of 25 dimensions settles to 1e-12 in 6 to 9 passes
FEWEST_TO_DOUBT = 3  # of two dimensions that disagree nobody can say which is wrong
MAD_TO_SIGMA = 1.4826  # median absolute deviation to standard deviation, for a normal distribution
SMALLEST_SIGMA_MM = 0.02  # a dimension given without spread must not outweigh all others; a calliper's last digit


@dataclass(frozen=True, kw_only=True, eq=False)
class ScaleFit(Result):
    """A best-fit scale.

    ratio   : (samples,) shell / prototype
    sigma   : (samples,) its standard deviation, widened where the dimensions scatter more than measuring explains
    scatter : (samples,) how many times more they scatter than that, 1 at least
    weight  : (dimensions, samples) 1 counted in full, 0 left out as contradicting the others
    """

    ratio: Numbers
    sigma: Numbers
    scatter: Numbers
    weight: Numbers

    @property
    def dimensions(self) -> int:
        """How many dimensions it was fitted to."""
        return int(self.weight.shape[0])


def fit_scale(
    *, prototype_mm: Numbers, shell_mm: Numbers, prototype_sigma_mm: Numbers, shell_sigma_mm: Numbers
) -> ScaleFit:
    """The ratio k that fits shell = k x prototype best.

    prototype_mm, shell_mm : (dimensions, samples), one dimension at least
    ..._sigma_mm           : (dimensions, 1) or (dimensions, samples), one standard deviation
    Source                 : a line through the origin with errors in both coordinates, D. York, Canadian Journal of
                             Physics 44 (1966) 1079-1086; docs/theory/likeness.md

    With the effective variance v = shell_sigma^2 + k^2 prototype_sigma^2 of a residual r = shell - k prototype, the sum
    of r^2 / v is least where k = sum(P shell / v) / sum(P prototype / v), P = prototype + k prototype_sigma^2 r / v
    being the full-size dimension as adjusted by the fit. That is iterated from a median.
    """
    shell_sigma_mm = np.maximum(shell_sigma_mm, SMALLEST_SIGMA_MM)
    ratio = np.median(shell_mm / prototype_mm, axis=0)
    ratio = _capped_median(shell_mm / prototype_mm, prototype_mm / np.hypot(shell_sigma_mm, ratio * prototype_sigma_mm))
    for _ in range(PASSES):
        variance = shell_sigma_mm**2 + (ratio * prototype_sigma_mm) ** 2
        residual = shell_mm - ratio * prototype_mm
        weight = _weight(np.abs(residual) / np.sqrt(variance))
        adjusted = prototype_mm + ratio * prototype_sigma_mm**2 * residual / variance
        lever = weight * adjusted / variance
        ratio = (lever * shell_mm).sum(axis=0) / (lever * prototype_mm).sum(axis=0)
    spare = np.maximum(weight.sum(axis=0) - 1, 1.0)
    scatter = np.sqrt(np.maximum(1.0, (weight * residual**2 / variance).sum(axis=0) / spare))
    sigma = scatter / np.sqrt((weight * adjusted**2 / variance).sum(axis=0))
    return ScaleFit(ratio=ratio, sigma=sigma, scatter=scatter, weight=weight)


def _weight(off: Numbers) -> Numbers:
    """Weights from residuals in standard deviations; what all share in scatter is no reason to leave one out."""
    if len(off) < FEWEST_TO_DOUBT:
        return np.ones_like(off)
    common = np.maximum(1.0, MAD_TO_SIGMA * np.median(off, axis=0))
    return np.clip((NONE_BEYOND - off / common) / (NONE_BEYOND - FULL_WITHIN), 0.0, 1.0)


def _capped_median(values: Numbers, weights: Numbers) -> Numbers:
    """Weighted median along the first axis; no weight counts more than the median one.

    A poor reading then has little say, and a long dimension no more than any other good one: if the overall length is
    the one that is wrong, two good overhangs outvote it.
    """
    weights = np.minimum(weights, np.median(weights, axis=0))
    order = np.argsort(values, axis=0)
    values, weights = np.take_along_axis(values, order, axis=0), np.take_along_axis(weights, order, axis=0)
    reached = np.cumsum(weights, axis=0)
    middle = np.argmax(reached >= 0.5 * reached[-1], axis=0)
    return np.asarray(np.take_along_axis(values, middle[None], axis=0)[0])
