"""What a village teaches of its maps: the method, the interval, and who is loud."""

import numpy as np
from numpy.testing import assert_allclose

from network.science.variables import VARIABLES
from network.spatial.field import Field
from network.spatial.kriging import heard
from network.spatial.learnt import Learnt, learn
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from network.spatial.village import map_field
from tests.spatial import made_village

TEMPERATURE = VARIABLES["air_temperature"]
PRIOR = Prior.of(TEMPERATURE.field)
SITES, HIDDEN = made_village.places(10, seed=1), made_village.places(300, seed=2)


def drawn(spreads, seed, noise=0.2):
    """Truths at the stations and the hidden places, of one spread for each time, and what the stations read."""
    both = Sites.at(*np.hstack([SITES.plane.T, HIDDEN.plane.T]))
    apart = np.exp(-np.hypot(*(np.subtract.outer(part, part) for part in (both.east, both.north))) / 1500)
    random = np.random.default_rng(seed)
    truth = np.linalg.cholesky(apart + 1e-9 * np.eye(310)) @ random.normal(size=(310, len(spreads))) * spreads
    return truth, truth[:10] + random.normal(0, noise, (10, len(spreads)))


def test_where_all_is_noise_the_village_mean_serves_and_says_so():
    noise = np.random.default_rng(3).normal(280, 1.0, (10, 300))
    learnt = learn(SITES, 1.0, noise, PRIOR)
    found = map_field(TEMPERATURE, SITES, 1.0, noise[:, :2], HIDDEN, learnt)
    if learnt.method == "village mean":
        assert_allclose(found.estimate, np.repeat(noise[:, :2].mean(axis=0)[None], 300, axis=0))
    assert found.method == learnt.method
    assert np.ptp(found.estimate, axis=0).max() < 0.3  # whichever it is, it is nearly the mean


def test_where_there_is_a_field_kriging_serves():
    _, seen = drawn(np.full(200, 1.5), seed=4)
    assert learn(SITES, 0.2, seen, PRIOR).method == "kriging"


def test_a_louder_thermometer_keeps_what_was_stated_of_it():
    assert_allclose(heard([0.2, 2.0], 0.05), np.sqrt([0.09, 4.05]))
    assert_allclose(heard([0.2, 2.0], -0.03), np.sqrt([0.01, 3.97]))
    assert_allclose(heard([0.2, 2.0], -9.0), [0.02, 0.2])


def test_the_interval_follows_the_hour():
    # Half the nights spread three times as wide as the others. One interval for both would hold nearly all of
    # the calm ones and three quarters of the rest; ten stations can tell only so much.
    spreads = np.tile([0.5, 1.5], 150)
    _, past = drawn(spreads, seed=5)
    truth, now = drawn(spreads, seed=6)
    found = map_field(TEMPERATURE, SITES, 0.2, now + 280, HIDDEN, learn(SITES, 0.2, past + 280, PRIOR))
    low, high = found.interval()
    held = (low - 280 <= truth[10:]) & (truth[10:] <= high - 280)
    assert_allclose([held[:, ::2].mean(), held[:, 1::2].mean()], 0.9, atol=0.1)


def test_with_nothing_learnt_a_map_is_what_the_catalogue_says():
    _, seen = drawn(np.ones(4), seed=7)
    bare = map_field(TEMPERATURE, SITES, 0.2, seen + 280, HIDDEN)
    told = map_field(TEMPERATURE, SITES, 0.2, seen + 280, HIDDEN, Learnt(Field.of(TEMPERATURE.field)))
    assert_allclose(bare.estimate, told.estimate)
    assert_allclose(bare.error, told.error)


def test_too_few_stations_teach_nothing():
    learnt = learn(SITES[:2], 0.2, np.full((2, 9), 280.0), PRIOR)
    assert (learnt.field, learnt.widen, learnt.method) == (PRIOR.field, 1.0, "kriging")
