"""Departures: observed minus what the trusted neighbours lead one to expect."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.models import Comparison
from network.models.comparison import DEPARTURES, ERRORS
from network.models.storage import read
from network.pipeline.ledger import blocks
from stations.models import Station
from tests.network.made_village import found_village
from tests.network.pipeline.told import village_of
from tests.village import five_minutes

pytestmark = pytest.mark.django_db
HALF_A_DAY = five_minutes("2026-04-10", 0.5)


def comparisons(village, name):
    station = Station.objects.of(village).get(name=name).pk
    return read(Comparison, [station], 0, 1 << 40, (*DEPARTURES, *ERRORS))


def steady(celsius):
    return lambda times: {"t": celsius + 0.1 * (np.arange(len(times)) % 3)}


def flat(monkeypatch):
    """Every station at one height, so that only the numbers differ."""
    from tests.network import made_village

    places = made_village.STATIONS
    monkeypatch.setattr(
        made_village, "STATIONS", type(places)(places.latitude, places.longitude, np.full(8, 400.0))
    )


def test_a_station_two_degrees_too_warm_departs_by_two_degrees(monkeypatch):
    # Constructed: five alike but for one, so the others' mean is what to expect, whatever the weights.
    flat(monkeypatch)
    names = ("Brook", "Mill", "Green", "Orchard", "School")
    said = {name: steady(12.0 if name == "Green" else 10.0) for name in names}
    village = village_of(5, HALF_A_DAY, changed=said)
    found = comparisons(village, "Green")
    assert len(found) == 72
    assert_allclose(found.columns["air_temperature"], 2.0, atol=0.15)
    assert (found.columns["air_temperature_error"] > 0.1).all()


def test_each_frame_is_ten_minutes_and_is_stamped_with_its_end():
    found = comparisons(village_of(4, HALF_A_DAY), "Brook")
    assert_allclose(np.diff(found.at), blocks.FRAME)
    assert found.at[0] == HALF_A_DAY[1]


def test_two_stations_have_nothing_to_be_compared_with():
    village_of(2, HALF_A_DAY)
    assert not Comparison.objects.filter(air_temperature__isnull=False).exists()


def test_a_village_without_stations_is_no_trouble():
    from network.pipeline.neighbours.compare import compare

    compare(found_village().pk, int(HALF_A_DAY[0] // blocks.BLOCK * blocks.BLOCK))()
    assert not Comparison.objects.exists()
