"""The semivariogram of a published dataset, bin by bin and fitted."""

import numpy as np
from numpy.testing import assert_allclose, assert_array_equal

from network.spatial import variogram
from network.spatial.field import Field
from network.spatial.sites import Sites
from tests.datasets import meuse

# Read in the saved test output of gstat: ln(zinc), 15 bins up to a third of the diagonal.
PAIRS = [57, 299, 419, 457, 547, 533, 574, 564, 589, 543, 500, 477, 452, 457, 415]
DISTANCE = [
    79.29244, 163.97367, 267.36483, 372.73542, 478.47670, 585.34058, 693.14526, 796.18365,
    903.14650, 1011.29177, 1117.86235, 1221.32810, 1329.16407, 1437.25620, 1543.20248,
]  # fmt: skip
SEMIVARIANCE = [
    0.1234479, 0.2162185, 0.3027859, 0.4121448, 0.4634128, 0.5646933, 0.5689683, 0.6186769,
    0.6471479, 0.6915705, 0.7033984, 0.6038770, 0.6517158, 0.5665318, 0.5748227,
]  # fmt: skip


def seen():
    data = meuse()
    sites = Sites.at(data["x"], data["y"])
    return variogram.semivariogram(sites, np.log(data["zinc"]), variogram.even_edges(sites))


def test_every_bin_of_zinc_by_the_meuse():
    found = seen()
    assert_array_equal(found.pairs, PAIRS)
    assert_allclose(found.distance, DISTANCE, rtol=0, atol=6e-6)
    assert_allclose(found.semivariance, SEMIVARIANCE, rtol=0, atol=6e-8)


def test_the_weighted_fit_to_zinc_by_the_meuse():
    # Spherical, weights pairs / distance squared: 0.5906, 897.0 m, nugget 0.0507, as published with the data.
    field, noise = variogram.fit(seen(), Field(1.0, 900, kind="spherical"), 1.0)
    assert_allclose([field.spread**2, noise**2], [0.5906, 0.0507], rtol=0, atol=5e-5)
    assert_allclose(field.reach, 897.0, rtol=0, atol=0.05)


def test_times_are_pooled_and_the_missing_passed_over():
    sites = Sites.at([0, 10, 20], 0)
    values = np.array([[1.0, 2.0], [3.0, np.nan], [3.0, 6.0]])
    found = variogram.semivariogram(sites, values, [0, 10, 20])
    assert_array_equal(found.pairs, [2, 2])  # by hand: (1, 3) and (3, 3) near; (1, 3) and (2, 6) far
    assert_allclose(found.semivariance, [1.0, 5.0])
