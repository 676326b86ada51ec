"""The restricted likelihood against its definition, by SciPy."""

import numpy as np
from numpy.testing import assert_allclose
from scipy.linalg import null_space
from scipy.spatial.distance import cdist
from scipy.stats import multivariate_normal

from network.spatial.field import Field
from network.spatial.likelihood import by_pattern, surprise
from tests.spatial import made_village

SITES = made_village.places(8, seed=3)
VALUES = np.random.default_rng(4).normal(285, 1, (8, 3))
NOISE = np.linspace(0.2, 0.5, 8)


def by_definition(field):
    """The density of what is left of the values when any mean is projected out (Patterson and Thompson 1971)."""
    lift = SITES.elevation - SITES.elevation.mean()
    covariance = field.spread**2 * np.exp(-cdist(SITES.plane, SITES.plane) / field.reach) + np.diag(NOISE**2)
    covariance += field.gradient_spread**2 * np.outer(lift, lift)
    contrasts = null_space(np.ones((1, 8))).T
    left = contrasts @ (VALUES - field.gradient * lift[:, None])
    return -multivariate_normal(cov=contrasts @ covariance @ contrasts.T).logpdf(left.T).sum()


def test_fields_are_ranked_as_the_definition_ranks_them():
    fields = [Field(0.8, 1500), Field(2.0, 400), Field(0.3, 9000, -0.0065, 0.004)]
    ours = [surprise(by_pattern(SITES, NOISE, VALUES), field) for field in fields]
    assert_allclose(np.diff(ours), np.diff([by_definition(field) for field in fields]), atol=1e-9)


def test_a_silent_station_is_passed_over():
    values = VALUES.copy()
    values[2, 0] = np.nan
    field = Field(0.8, 1500)
    apart = [by_pattern(SITES, NOISE, values[:, [time]]) for time in range(3)]
    assert_allclose(
        surprise(by_pattern(SITES, NOISE, values), field), sum(surprise(piece, field) for piece in apart)
    )
