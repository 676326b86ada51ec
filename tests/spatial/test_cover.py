"""What else is known of the ground, as a trend: taken where the values pay for it, harmless where they do not."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.spatial.field import Field
from network.spatial.fitting import fit
from network.spatial.kriging import operator
from network.spatial.learnt import learn
from network.spatial.leave_one_out import leave_one_out
from network.spatial.prior import AS_CATALOGUED, Prior
from network.spatial.sites import Sites

TRUTH = Field(spread=0.4, reach=600.0, gradient=-0.006, gradient_spread=0.001)
PRIOR = Prior(Field(0.5, 800.0, -0.0065, 0.003), AS_CATALOGUED)
NOISE, STATIONS, HIDDEN, TIMES = 0.15, 12, 60, 40


def constructed(seed: int, slope: float) -> tuple[Sites, np.ndarray, np.ndarray]:
    """Places with trees on some, and values (n, t) of which the trees take ``slope`` per share, give or take."""
    random = np.random.default_rng(seed)
    n = STATIONS + HIDDEN
    sites = Sites(
        *random.uniform(-1000, 1000, (2, n)), random.uniform(430, 580, n), random.uniform(0, 1, (n, 1))
    )
    apart = TRUTH.covariance(TRUTH.apart(sites, sites))
    field = np.linalg.cholesky(apart + 1e-9 * np.eye(n)) @ random.normal(size=(n, TIMES))
    rise = random.normal(TRUTH.gradient, TRUTH.gradient_spread, TIMES)
    shade = random.normal(slope, 0.2 * abs(slope), TIMES)
    truth = 283 + field + rise * (sites.elevation - 500)[:, None] + shade * sites.cover
    return sites, truth, truth + NOISE * random.normal(size=truth.shape)


def error_at_hidden(seed: int, slope: float, with_cover: bool) -> tuple[float, tuple[float, ...]]:
    """Root mean square error at the places that have no station, and the slopes that were learnt."""
    sites, truth, values = constructed(seed, slope)
    here = sites if with_cover else replace(sites, cover=None)
    stations, hidden = here[:STATIONS], here[STATIONS:]
    known = learn(stations, NOISE, values[:STATIONS], PRIOR)
    found = known.operator(stations, NOISE, hidden).estimate(values[:STATIONS])
    return float(np.sqrt(np.mean((found - truth[STATIONS:]) ** 2))), known.field.slopes


def test_trees_that_cool_are_found_and_make_the_map_better():
    bare = [error_at_hidden(seed, -1.5, with_cover=False)[0] for seed in range(3)]
    told = [error_at_hidden(seed, -1.5, with_cover=True) for seed in range(3)]
    assert all(slopes for _, slopes in told)
    assert np.mean([error for error, _ in told]) < 0.85 * np.mean(bare)


def test_trees_that_do_nothing_are_switched_off_by_the_data():
    # Their price is one parameter (Akaike 1974), so by chance some are let in: they must do no harm.
    bare = [error_at_hidden(seed, 0.0, with_cover=False)[0] for seed in range(4)]
    told = [error_at_hidden(seed, 0.0, with_cover=True) for seed in range(4)]
    assert sum(not slopes for _, slopes in told) >= 3
    assert_allclose([error for error, _ in told], bare, rtol=0.02)


def test_a_slope_is_kriging_with_one_more_covariance():
    # Rasmussen and Williams (2006), eq. 2.40: a Gaussian prior on a slope b of variance s2 adds s2 x x'.
    random = np.random.default_rng(5)
    sites = Sites(*random.uniform(0, 1000, (2, 9)), np.zeros(9), random.uniform(0, 1, (9, 2)))
    field = Field(0.7, 500.0, slopes=(0.8, 1.3))
    stations, target = sites[:8], sites[8:]
    apart = np.hypot(*(part[:, None] - part for part in (sites.east, sites.north)))
    whole = 0.49 * np.exp(-apart / 500) + sites.cover @ np.diag([0.64, 1.69]) @ sites.cover.T
    # Ordinary kriging's system with a Lagrange multiplier: Cressie (1993), eqs 3.2.13 to 3.2.15.
    left = np.block(
        [[whole[:8, :8] + 0.04 * np.eye(8), np.ones((8, 1))], [np.ones((1, 8)), np.zeros((1, 1))]]
    )
    right = np.append(whole[:8, 8], 1.0)
    solved = np.linalg.solve(left, right)
    found = operator(stations, 0.2, field, target)
    assert_allclose(found.weights[0], solved[:8], atol=1e-10)
    assert found.error[0] == pytest.approx(np.sqrt(whole[8, 8] - solved @ right), abs=1e-10)


def test_leaving_one_out_knows_of_slopes_too():
    sites, _, values = constructed(7, -1.0)
    field = replace(TRUTH, slopes=(1.0,))
    stations, seen = sites[:STATIONS], values[:STATIONS]
    expected, _ = leave_one_out(stations, NOISE, field, seen)
    others = np.arange(STATIONS) != 4
    without = operator(stations[others], NOISE, field, stations[4:5]).estimate(seen[others])
    assert_allclose(expected[4], without[0], atol=1e-9)


def test_a_place_of_unknown_cover_counts_as_the_stations_middle():
    sites, _, _ = constructed(2, -1.0)
    stations, field = sites[:STATIONS], replace(TRUTH, slopes=(1.0,))
    bare = Sites.at(0.0, 0.0, 500.0)
    middling = replace(bare, cover=stations.cover.mean(axis=0, keepdims=True))
    assert_allclose(
        operator(stations, NOISE, field, bare).weights, operator(stations, NOISE, field, middling).weights
    )


def test_a_column_that_is_the_same_everywhere_is_not_even_tried():
    sites, _, values = constructed(3, -1.0)
    flat = replace(sites, cover=np.column_stack([np.zeros(len(sites)), sites.cover]))[:STATIONS]
    slopes = fit(flat, NOISE, values[:STATIONS], PRIOR).field.slopes
    assert len(slopes) == 2 and slopes[0] == 0.0
