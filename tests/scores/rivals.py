"""The methods beside ours, each from values (n, t) of the stations to estimates (g, t) at the targets.

Those that fit parameters do so on ``past`` (n, s), as ours does. None of them knows a station's own habits.
"""

import warnings
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from pykrige.ok import OrdinaryKriging
from sklearn.exceptions import ConvergenceWarning
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern, WhiteKernel

from network.spatial import inverse_distance
from network.spatial.sites import Sites
from tests.scores.row import Estimates

Floats = NDArray[np.float64]
Method = Callable[[Sites, Floats, Floats, Sites], Estimates]

TIMES = 20
"""Times of the past to which parameters are fitted, evenly chosen."""


def village_mean(sites: Sites, past: Floats, values: Floats, targets: Sites) -> Estimates:
    """The mean of the stations everywhere."""
    return Estimates(np.repeat(values.mean(axis=0, keepdims=True), len(targets), axis=0))


def inverse_square(sites: Sites, past: Floats, values: Floats, targets: Sites) -> Estimates:
    """Inverse distance, power 2, all stations."""
    return Estimates(inverse_distance.estimate(sites, values, targets))


def pykrige(sites: Sites, past: Floats, values: Floats, targets: Sites) -> Estimates:
    """Ordinary kriging by PyKrige, exponential; its own fit, the median over times of the past.

    With the parameters given kriging is linear in the values, so unit values tell the weights for all times.
    """

    def kriging(z: Floats, parameters: list[float] | None = None) -> OrdinaryKriging:
        return OrdinaryKriging(
            sites.east, sites.north, z, variogram_model="exponential", variogram_parameters=parameters
        )

    fits = [kriging(z).variogram_model_parameters for z in _some(past).T if np.ptp(z) > 0]
    partial_sill, reach, nugget = np.median(fits, axis=0)
    parameters = [max(partial_sill, 1e-6) + nugget, max(reach, 1e-6), nugget]
    weights, variance = np.empty((len(targets), len(sites))), np.empty(len(targets))
    for number, unit in enumerate(np.eye(len(sites))):
        weights[:, number], variance[:] = kriging(unit, parameters).execute(
            "points", targets.east, targets.north
        )
    return Estimates.gaussian(weights @ values, np.sqrt(np.maximum(variance, 1e-12))[:, None])


def gaussian_process(sites: Sites, past: Floats, values: Floats, targets: Sites) -> Estimates:
    """scikit-learn's Gaussian process, Matérn 3/2 with a length for each axis, and white noise.

    Elevation is a third axis where the stations differ in it. The mean of the stations is taken off first.
    """
    axes = np.column_stack([sites.plane, sites.elevation])
    there = np.column_stack([targets.plane, targets.elevation])
    used = np.ptp(axes, axis=0) > 0
    centre, width = axes[:, used].mean(axis=0), np.ptp(axes[:, used], axis=0)
    axes, there = (axes[:, used] - centre) / width, (there[:, used] - centre) / width
    some = _some(past)
    spread = float(np.var(some, axis=0).mean())
    bounds = (1e-3 * spread, 1e3 * spread)
    kernel = ConstantKernel(spread, bounds) * Matern(np.ones(used.sum()), (0.05, 100), nu=1.5)
    fitted = GaussianProcessRegressor(kernel + WhiteKernel(spread / 10, bounds), random_state=0)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)  # a length at its bound is an answer
        fitted.fit(axes, some - some.mean(axis=0))
    known = GaussianProcessRegressor(fitted.kernel_, optimizer=None).fit(axes, values - values.mean(axis=0))
    middle, error = known.predict(there, return_std=True)
    middle, error = middle.reshape(len(there), -1), error.reshape(len(there), -1)
    return Estimates.gaussian(middle + values.mean(axis=0), error)


RIVALS: dict[str, Method] = {
    "village mean": village_mean,
    "inverse distance": inverse_square,
    "pykrige": pykrige,
    "scikit-learn": gaussian_process,
}


def each_from_the_others(method: Method, sites: Sites, past: Floats, values: Floats) -> Estimates:
    """Every station by a method that hears only the others."""
    others = ~np.eye(len(sites), dtype=bool)
    whole = np.isfinite(values).all(axis=0)
    if not whole.all():
        said = each_from_the_others(method, sites, past, values[:, whole])
        return _spread(said, whole)
    said = [method(sites[rest], past[rest], values[rest], sites[~rest]) for rest in others]
    middle = np.vstack([one.middle for one in said])
    quantiles = [one.quantile for one in said]
    if quantiles[0] is None:
        return Estimates(middle)
    return Estimates(middle, lambda share: np.vstack([quantile(share) for quantile in quantiles]))


def _spread(said: Estimates, times: NDArray[np.bool_]) -> Estimates:
    """Estimates of some times among all, missing at the others."""

    def among_all(some: Floats) -> Floats:
        out = np.full((len(some), times.size), np.nan)
        out[:, times] = some
        return out

    quantile = said.quantile
    middle = among_all(said.middle)
    return Estimates(
        middle, quantile and (lambda share: among_all(np.broadcast_to(quantile(share), said.middle.shape)))
    )


def _some(past: Floats) -> Floats:
    return past[:, np.unique(np.linspace(0, past.shape[1] - 1, min(past.shape[1], TIMES)).astype(int))]
