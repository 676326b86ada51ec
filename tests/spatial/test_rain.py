"""Rain between gauges."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from network.science.variables import VARIABLES
from network.spatial import rain, scores
from network.spatial.field import Field
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from tests.datasets import swiss_rain
from tests.spatial import made_village

FIELD = Field.of(VARIABLES["rain_amount"].field)
PRIOR = Prior.of(VARIABLES["rain_amount"].field)
GAUGES, ANYWHERE = made_village.places(10, seed=1), made_village.places(200, seed=2)


def test_swiss_rain_is_at_least_as_good_as_the_best_plain_method():
    # Hidden gauges, tenths of a millimetre: inverse distance with 8 neighbours has rmse 58.33, mae 41.95;
    # PyKrige with this model 55.12, 38.63 and 94.3 % within 1.96 standard errors (computed from the files).
    given_gauges, hidden = swiss_rain()
    field = Field(np.sqrt(16054), 82100, kind="spherical")
    sites, places = (Sites.at(part["x"], part["y"]) for part in (given_gauges, hidden))
    amount, error, _ = rain.amount(sites, 0.0, field, given_gauges[["rain"]], places)
    observed = hidden[["rain"]].to_numpy()
    assert scores.rmse(amount, observed) < 55.13
    assert scores.mae(amount, observed) < 38.64
    assert 0.90 < scores.coverage(amount, error, observed, share=0.95) < 0.98
    assert amount.min() >= 0


def test_where_every_gauge_is_dry_it_is_dry_everywhere_though_not_for_certain():
    amount, error, chance = rain.amount(GAUGES, 0.2, FIELD, np.zeros((10, 2)), ANYWHERE)
    assert_array_equal(amount, 0)
    assert_allclose(chance, 0.5 / 11)
    assert (error > 0).all()


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0, 60), min_size=10, max_size=10))
def test_rain_is_never_negative_and_comes_only_where_wet_is_likelier(fallen):
    amount, error, chance = rain.amount(GAUGES, 0.2, FIELD, np.array(fallen)[:, None], ANYWHERE)
    assert (amount >= 0).all()
    assert not amount[chance < 0.5].any()
    assert ((chance > 0) & (chance < 1) & (error > 0)).all()


def test_a_cloudburst_is_less_certain_than_a_drizzle():
    drizzle = np.linspace(0.2, 0.6, 10)[:, None]
    _, error, _ = rain.amount(GAUGES, 0.2, FIELD, np.hstack([drizzle, 40 * drizzle]), ANYWHERE)
    assert (error[:, 1] > 3 * error[:, 0]).all()


def test_a_shower_over_half_the_village_leaves_the_other_half_dry():
    wet = np.where(GAUGES.east > 1500, 4.0, 0.0)[:, None]
    amount, _, _ = rain.amount(GAUGES, 0.2, FIELD, wet, Sites.at([300, 2700], [1500, 1500]))
    assert amount[0, 0] == 0
    assert amount[1, 0] > 2


def test_roots_are_turned_back_without_bias():
    # The mean and the quantiles of max(x, 0) ** root for a Gaussian x, by a million draws.
    fallen = np.maximum(np.random.default_rng(1).normal(1.2, 0.7, 1_000_000), 0.0)
    for root in (2, 3):
        found = rain.Rain(np.ones((1, 1)), np.full((1, 1), 1.2), np.full((1, 1), 0.7), root)
        assert_allclose(found.amount, np.mean(fallen**root), rtol=0.01)
        assert_allclose(found.error, np.std(fallen**root), rtol=0.01)
        for share in (0.02, 0.5, 0.95):
            assert_allclose(found.quantile(share), np.quantile(fallen, share) ** root, rtol=0.01)


def test_what_is_probably_dry_has_zero_in_its_interval():
    found = rain.Rain(np.full((1, 1), 0.3), np.full((1, 1), 2.0), np.full((1, 1), 0.5), 2)
    assert found.quantile(0.5) == found.quantile(0.69) == 0
    assert found.quantile(0.95) > 2


def test_a_root_is_chosen_for_skew_rain_and_none_for_even():
    # Squares and cubes of a Gaussian field: the gauges say which scale is the even one.
    random = np.random.default_rng(2)
    sites = Sites.at(*random.uniform(0, 8000, (2, 60)))
    even = 4 + np.linalg.cholesky(
        np.exp(-np.hypot(*(np.subtract.outer(part, part) for part in (sites.east, sites.north))) / 2500)
        + 1e-9 * np.eye(60)
    ) @ random.normal(size=(60, 20))
    assert rain.learn(sites, 0.05, even, PRIOR, ("exponential",)).root == 1
    assert rain.learn(sites, 0.05, even**3, PRIOR, ("exponential",)).root == 3


def test_dry_days_teach_nothing():
    assert rain.learn(GAUGES, 0.2, np.zeros((10, 30)), PRIOR).field == PRIOR.field
