"""Inverse distance against values worked by hand, and the Swiss and Meuse data."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.spatial import scores
from network.spatial.inverse_distance import estimate, leave_one_out
from network.spatial.sites import Sites
from tests.datasets import meuse, swiss_rain
from tests.spatial.published import TRIANGLE, VALUES
from tests.spatial.test_kriging import MEUSE_TARGETS


@pytest.mark.parametrize(
    ("target", "power", "expected"),
    # By hand; the one of power 1 computed.
    [((1, 1), 2, 45 / 4), ((2, 1), 2, 257 / 21), ((1, 1), 1, 11.772504), ((4, 0), 2, 14.0)],
)
def test_a_target_in_the_triangle(target, power, expected):
    assert_allclose(estimate(TRIANGLE, VALUES, Sites.at(*target), power), expected, atol=1e-5)


def test_leaving_one_out_of_the_triangle():
    # By hand: 334/25, 458/41, 188/17.
    expected = leave_one_out(TRIANGLE, VALUES[:, None])[:, 0]
    assert_allclose(expected, [334 / 25, 458 / 41, 188 / 17], atol=1e-5)


def test_zinc_by_the_meuse():
    # Computed from the file, independently.
    data = meuse()
    found = estimate(Sites.at(data["x"], data["y"]), data["zinc"], MEUSE_TARGETS)
    assert_allclose(found, [336.3121, 681.8958, 314.7394, 456.4666, 564.8359, 528.3479], rtol=0, atol=5e-5)


@pytest.mark.parametrize(("nearest", "printed"), [(None, (68.73, 50.83, 0.0)), (8, (58.33, 41.95, 0.7))])
def test_swiss_rain(nearest, printed):
    # Errors at the 367 hidden gauges in tenths of a millimetre (computed from the files, independently).
    given, hidden = swiss_rain()
    places = Sites.at(hidden["x"], hidden["y"])
    found = estimate(Sites.at(given["x"], given["y"]), given["rain"], places, nearest=nearest)
    score = [part(found, hidden["rain"]) for part in (scores.rmse, scores.mae, scores.bias)]
    assert_allclose(score[:2], printed[:2], rtol=0, atol=0.006)
    assert_allclose(score[2], printed[2], rtol=0, atol=0.06)


def test_a_silent_station_is_passed_over():
    values = np.array([[10.0, np.nan], [14.0, 14.0], [13.0, 13.0]])
    found = estimate(TRIANGLE, values, Sites.at(1, 1))
    assert_allclose(found, [[45 / 4, (0.1 * 14 + 0.2 * 13) / 0.3]])


def test_with_nobody_there_is_no_estimate():
    assert np.isnan(estimate(TRIANGLE, np.full(3, np.nan), Sites.at(1, 1))).all()
