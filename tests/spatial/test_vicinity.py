"""Maps patch by patch against one factorisation of all."""

import numpy as np
from numpy.testing import assert_allclose

from network.spatial import vicinity
from network.spatial.field import Field
from network.spatial.kriging import operator
from network.spatial.sites import Grid, Sites

FIELD = Field(1.0, 3000)
GRID = Grid(0, 0, 30000, 30000, 60, 60).sites()


def country(count):
    random = np.random.default_rng(1)
    sites = Sites.at(*random.uniform(0, 30000, (2, count)))
    root = np.linalg.cholesky(FIELD.covariance(FIELD.apart(sites, sites)))
    return sites, root @ random.normal(size=(count, 2)) + random.normal(0, 0.3, (count, 2))


def test_patches_are_hardly_different_from_the_whole():
    sites, values = country(700)
    estimate, error = vicinity.estimate(sites, 0.3, FIELD, values, GRID)
    whole = operator(sites, 0.3, FIELD, GRID)
    difference = estimate - whole.estimate(values)
    assert np.sqrt(np.mean(difference**2)) < 0.05 * whole.error.mean()
    assert np.abs(difference).max() < 0.5 * whole.error.mean()
    assert_allclose(error, whole.error, rtol=0.04)


def test_patches_that_hear_everybody_are_the_whole():
    sites, values = country(60)
    estimate, error = vicinity.estimate(sites, 0.3, FIELD, values, GRID)
    whole = operator(sites, 0.3, FIELD, GRID)
    assert_allclose(estimate, whole.estimate(values), atol=1e-9)
    assert_allclose(error, whole.error, atol=1e-9)
