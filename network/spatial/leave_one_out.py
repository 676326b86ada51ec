"""What each station should read by all the others, without solving once for each."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.field import Field
from network.spatial.kriging import Factor, Members, factorise, heard
from network.spatial.sites import Sites

Floats = NDArray[np.float64]


def leave_one_out(sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike) -> tuple[Floats, Floats]:
    """Each station's value as the others lead one to expect it, and how well they know.

    Parameters
    ----------
    sites : Sites, n stations
    noise : array_like, shape (n,) or one for all
        Standard deviation of each station's own noise [unit of the values].
    field : Field
    values : array_like, shape (n, t)
        One column a time, no NaN: a time at which a station is silent has other stations (see ``patterns``).

    Returns
    -------
    expected : ndarray, shape (n, t)
    error : ndarray, shape (n,)
        Standard error of the field at the station, WITHOUT the noise of its own instrument: the departure
        ``values - expected`` has the standard error ``hypot(error, noise)``.
        Both are NaN where there is no other station.

    Source: Dubrule (1983), Mathematical Geology 15, 687-699 (from memory); with a mean to estimate as well,
    the same identity holds for the covariance's inverse once the mean is projected out.
    """
    return leave_one_out_from(factorise(sites, noise, field), noise, values)


def leave_one_out_from(factor: Factor, noise: ArrayLike, values: ArrayLike) -> tuple[Floats, Floats]:
    """The same from stations already factorised, with that noise."""
    measured, sites = np.asarray(values, dtype=np.float64), factor.sites
    if len(sites) < 2:
        return np.full(measured.shape, np.nan), np.full(len(sites), np.nan)
    to_mean = factor.ones @ factor.whiten
    # The covariance's inverse with the mean projected out is never written down: only its diagonal, which is
    # one over the variance of the departure (the station's own noise included), and what it makes of the values.
    variance = 1 / ((factor.whiten**2).sum(axis=0) - to_mean**2 / factor.precision)
    lifted = measured - (factor.field.gradient * (sites.elevation - sites.elevation.mean()))[:, None]
    pulled = factor.whiten.T @ (factor.whiten @ lifted) - np.outer(
        to_mean / factor.precision, to_mean @ lifted
    )
    expected = measured - variance[:, None] * pulled
    own_noise = np.asarray(noise, dtype=np.float64)
    return expected, np.sqrt(np.maximum(variance - own_noise**2, 0.0))


def mean_leave_one_out(
    sites: Sites, noise: ArrayLike, members: Members, values: ArrayLike
) -> tuple[Floats, Floats]:
    """The same as the mean over several fields, like ``kriging.mean_operator``."""
    all_ = [leave_one_out(sites, heard(noise, nugget), field, values) for field, nugget in members]
    if len(all_) == 1:
        return all_[0]
    error = np.sqrt(np.mean([error**2 for _, error in all_], axis=0))
    return np.mean([expected for expected, _ in all_], axis=0), error
