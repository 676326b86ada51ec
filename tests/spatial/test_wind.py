"""Wind as vectors."""

import numpy as np
from numpy.testing import assert_allclose

from network.science.variables import VARIABLES
from network.spatial import wind
from network.spatial.field import Field
from network.spatial.learnt import Learnt
from tests.spatial import made_village

LEARNT = Learnt(wind.component_field(Field.of(VARIABLES["wind_speed"].field)))
STATIONS, ANYWHERE = made_village.places(6, seed=1), made_village.places(50, seed=2)


def test_one_wind_everywhere_is_recovered():
    u, v = np.full((6, 1), -3.0), np.full((6, 1), 4.0)
    east, north, _ = wind.vectors(STATIONS, 0.6, LEARNT, u, v, ANYWHERE)
    assert_allclose(east, -3.0)
    assert_allclose(north, 4.0)


def test_a_village_turned_round_has_its_wind_turned_round():
    # A part of the wind is as likely to grow as to shrink with height, so no direction is preferred.
    u, v = np.random.default_rng(3).normal(0, 4, (2, 6, 5))
    east, north, error = wind.vectors(STATIONS, 0.6, LEARNT, u, v, ANYWHERE)
    turned_east, turned_north, same = wind.vectors(STATIONS, 0.6, LEARNT, -v, u, ANYWHERE)
    assert_allclose([turned_east, turned_north], [-north, east], atol=1e-12)
    assert_allclose(error, same)


def test_the_errors_of_both_parts_are_the_same_and_wider_uphill():
    high = made_village.places(1, seed=5)
    tower = type(high)(high.east, high.north, high.elevation + 300)
    _, _, error = wind.vectors(STATIONS, 0.6, LEARNT, np.zeros((6, 1)), np.zeros((6, 1)), high)
    _, _, above = wind.vectors(STATIONS, 0.6, LEARNT, np.zeros((6, 1)), np.zeros((6, 1)), tower)
    assert above > error


def test_a_prevailing_wind_of_the_past_blows_neither_in_a_calm_nor_in_a_wind_from_elsewhere():
    # Constructed: a month of south-westerlies, all twice as strong 100 m higher up.
    random = np.random.default_rng(4)
    lift = 1 + 0.01 * (STATIONS.elevation - STATIONS.elevation.mean())[:, None]
    past = lift * random.uniform(2, 6, (2, 1, 24)) + random.normal(0, 0.2, (2, 6, 24))
    learnt = wind.learn(STATIONS, 0.2, *past, Field.of(VARIABLES["wind_speed"].field))
    calm = np.zeros((6, 1))
    for part in wind.vectors(STATIONS, 0.2, learnt, calm, calm, ANYWHERE)[:2]:
        assert_allclose(part, 0.0, atol=1e-6)
    u, v = lift * 3.0, lift * 1.0
    east, north, _ = wind.vectors(STATIONS, 0.2, learnt, u, v, ANYWHERE)
    back_east, back_north, _ = wind.vectors(STATIONS, 0.2, learnt, -u, -v, ANYWHERE)
    assert_allclose([back_east, back_north], [-east, -north], atol=1e-6)
