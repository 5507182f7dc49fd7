"""The best-fit scale against independent ways to the same number."""

import numpy as np
import pytest
from scipy.optimize import least_squares, minimize_scalar

from coachwork.studies.likeness import fit_scale


def readings(seed=7, dimensions=12, ratio=0.1):
    """Full-size and scale readings with errors of known size, (dimensions, 1)."""
    draw = np.random.default_rng(seed)
    true = draw.uniform(300, 4500, (dimensions, 1))
    prototype_sigma, shell_sigma = draw.uniform(1, 8, (dimensions, 1)), draw.uniform(0.05, 0.5, (dimensions, 1))
    return {
        "prototype_mm": true + prototype_sigma * draw.standard_normal((dimensions, 1)),
        "shell_mm": ratio * true + shell_sigma * draw.standard_normal((dimensions, 1)),
        "prototype_sigma_mm": prototype_sigma,
        "shell_sigma_mm": shell_sigma,
    }


@pytest.mark.parametrize("seed", range(5))
def test_fit_with_errors_in_both_agrees_with_a_general_solver_for_the_true_dimensions(seed):
    """Independent route: scipy's least squares with every true full-size dimension an unknown beside the ratio."""
    case = readings(seed)
    full, shell = case["prototype_mm"][:, 0], case["shell_mm"][:, 0]
    full_sigma, shell_sigma = case["prototype_sigma_mm"][:, 0], case["shell_sigma_mm"][:, 0]

    def residuals(unknown):
        ratio, true = unknown[0] / 1000, unknown[1:]
        return np.concatenate([(full - true) / full_sigma, (shell - ratio * true) / shell_sigma])

    solved = least_squares(
        residuals, np.concatenate([[100.0], full]), x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15
    )

    fit = fit_scale(**case)

    assert fit.weight.min() == 1.0  # the independent route knows no outliers, so none may have been left out
    assert fit.ratio[0] == pytest.approx(solved.x[0] / 1000, rel=1e-8)


def test_standard_deviation_agrees_with_the_curvature_of_the_sum_of_squares():
    """Half the second derivative of the sum of weighted squares is 1 / variance, as for any least squares."""
    case = readings(seed=3)

    def squares(ratio):
        variance = case["shell_sigma_mm"] ** 2 + (ratio * case["prototype_sigma_mm"]) ** 2
        return float(((case["shell_mm"] - ratio * case["prototype_mm"]) ** 2 / variance).sum())

    best = minimize_scalar(squares, bounds=(0.09, 0.11), method="bounded", options={"xatol": 1e-12}).x
    step = 1e-5
    curvature = (squares(best + step) - 2 * squares(best) + squares(best - step)) / step**2

    fit = fit_scale(**case)

    # The fit's own formula leaves out terms of the size of residual / dimension, a percent or two with 12 dimensions.
    assert fit.sigma[0] / fit.scatter[0] == pytest.approx(np.sqrt(2 / curvature), rel=0.05)


def test_spread_of_the_fit_is_what_repeated_measuring_shows():
    """Monte Carlo: the same vehicle measured 4000 times; the bound is 4 standard errors of a standard deviation."""
    draw = np.random.default_rng(1)
    true = np.array([[4320.0], [2460.0], [960.0], [900.0], [820.0]])
    prototype_sigma, shell_sigma = np.full((5, 1), 2.9), np.full((5, 1), 0.06)
    many = 4000
    fit = fit_scale(
        prototype_mm=true + prototype_sigma * draw.standard_normal((5, many)),
        shell_mm=0.1 * true + shell_sigma * draw.standard_normal((5, many)),
        prototype_sigma_mm=prototype_sigma, shell_sigma_mm=shell_sigma,
    )  # fmt: skip

    predicted = np.median(fit.sigma / fit.scatter)

    assert np.std(fit.ratio) == pytest.approx(predicted, rel=4 / np.sqrt(2 * many) + 0.03)  # 3 %: down-weighted samples
    assert np.mean(fit.ratio) == pytest.approx(0.1, abs=4 * predicted / np.sqrt(many))


def test_exact_full_size_dimensions_give_the_textbook_weighted_slope():
    """With no error in x the fit is polyfit's slope with the intercept at nought: sum(w x y) / sum(w x x)."""
    case = readings(seed=11) | {"prototype_sigma_mm": np.zeros((12, 1))}
    case["shell_mm"] = 0.1 * case["prototype_mm"] + case["shell_sigma_mm"] * np.linspace(-1, 1, 12)[:, None]
    full, shell, sigma = case["prototype_mm"][:, 0], case["shell_mm"][:, 0], case["shell_sigma_mm"][:, 0]
    slope = np.linalg.lstsq((full / sigma)[:, None], shell / sigma, rcond=None)[0][0]

    assert fit_scale(**case).ratio[0] == pytest.approx(slope, rel=1e-12)


@pytest.mark.parametrize("wrong", range(5))
def test_one_wrong_dimension_in_five_does_not_drag_the_fit(wrong):
    """Whichever it is, the longest included, 8 % off: the fit is that of the other four."""
    full = np.array([[4320.0], [2460.0], [960.0], [900.0], [820.0]])
    shell = 0.1 * full * (1 + 0.0005 * np.array([[1.0], [-1.0], [0.5], [-0.5], [0.0]]))
    shell[wrong] *= 1.08
    others = np.arange(5) != wrong
    sigmas = {"prototype_sigma_mm": np.full((5, 1), 2.9), "shell_sigma_mm": np.full((5, 1), 0.06)}

    fit = fit_scale(prototype_mm=full, shell_mm=shell, **sigmas)
    clean = fit_scale(
        prototype_mm=full[others], shell_mm=shell[others], **{name: sigma[others] for name, sigma in sigmas.items()}
    )

    assert fit.weight[wrong, 0] == 0.0
    assert fit.ratio[0] == pytest.approx(clean.ratio[0], rel=1e-9)


def test_dimensions_that_all_scatter_are_all_kept_and_the_spread_says_so():
    """A shell modelled by eye, 1 % here and there: nobody is the outlier; the scale is known less well."""
    full = np.linspace(800, 4300, 12)[:, None]
    shell = 0.1 * full * (1 + 0.01 * np.tile([[1.0], [-1.0]], (6, 1)))
    fit = fit_scale(
        prototype_mm=full,
        shell_mm=shell,
        prototype_sigma_mm=np.full((12, 1), 0.5),
        shell_sigma_mm=np.full((12, 1), 0.03),
    )

    assert fit.weight.min() > 0.5
    assert fit.scatter[0] > 5
    assert fit.sigma[0] / fit.ratio[0] == pytest.approx(0.01 / np.sqrt(12), rel=0.5)


def test_samples_are_fitted_each_for_itself():
    """Many samples at once give what each gives alone."""
    case = readings(seed=2)
    draw = np.random.default_rng(5)
    many = {
        name: case[name] * (1 + 0.01 * draw.standard_normal((12, 40))) if name.endswith("_mm") and "sigma" not in name
        else case[name] for name in case
    }  # fmt: skip
    together = fit_scale(**many)

    for sample in range(40):
        alone = fit_scale(**{n: a[:, sample : sample + 1] if a.shape[1] > 1 else a for n, a in many.items()})
        assert together.ratio[sample] == pytest.approx(alone.ratio[0], rel=1e-12)
        assert together.sigma[sample] == pytest.approx(alone.sigma[0], rel=1e-12)


def test_a_dimension_given_without_spread_does_not_outvote_the_rest():
    """Spread nought would be infinite weight and a division by nought."""
    full = np.array([[1000.0], [2000.0], [3000.0]])
    fit = fit_scale(
        prototype_mm=full, shell_mm=np.array([[100.05], [200.0], [300.0]]),
        prototype_sigma_mm=np.zeros((3, 1)), shell_sigma_mm=np.array([[0.0], [0.06], [0.06]]),
    )  # fmt: skip

    assert np.isfinite(fit.ratio).all()
    assert 0.1 <= fit.ratio[0] <= 0.10005


def test_a_wrong_overall_length_is_outvoted_by_two_overhangs():
    """It is longer than both together, so by length alone it would win; two that agree on 1:10 are believed."""
    full = np.array([[4320.0], [960.0], [900.0]])
    fit = fit_scale(
        prototype_mm=full, shell_mm=0.1 * full * [[1.08], [1.0], [1.0]],
        prototype_sigma_mm=np.full((3, 1), 2.9), shell_sigma_mm=np.full((3, 1), 0.06),
    )  # fmt: skip

    assert fit.ratio[0] == pytest.approx(0.1, rel=1e-9)
    assert fit.weight[:, 0].tolist() == [0.0, 1.0, 1.0]
