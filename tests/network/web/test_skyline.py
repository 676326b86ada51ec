"""A wall whose height is known: the hub learns it from a light sensor, keeps it, and draws it."""

import pytest
from django.test import Client

from network.models import Skyline
from network.pipeline.settle import settle
from network.science.sun import solar_position
from stations.models import Station
from tests.network.made_village import NAMES, Report, deliver, found_village, observations, settle_station
from tests.village import five_minutes

TIMES = five_minutes("2026-05-05", 12)[1::2]
WALLED, FROM, TO, HIGH = "Mill", 60.0, 95.0, 15.0
"""Constructed: to the east of one station stands a wall that hides the sun below 15 degrees."""

pytestmark = pytest.mark.django_db


@pytest.fixture
def village():
    village = found_village()
    elevation, azimuth = solar_position(TIMES - 300, *village.centre)
    behind = (azimuth > FROM) & (azimuth < TO) & (elevation < HIGH)
    for name in NAMES[:4]:
        station = settle_station(village, name, ("irradiance",), report_every=600)
        said = observations(station, TIMES)
        if name == WALLED:
            said = [
                one | {"sun": round(one["sun"] * (0.15 if dark else 1.0))}
                for one, dark in zip(said, behind, strict=True)
            ]
        deliver(Report(station.pk, tuple(said[i : i + 200])) for i in range(0, len(said), 200))
    settle()
    return village


def test_the_wall_is_learnt_to_within_a_few_degrees_and_drawn(village):
    walled, free = (Station.objects.get(name=name) for name in (WALLED, "Brook"))
    horizon = {
        one.station_id: one.horizon
        for one in Skyline.objects.filter(station__in=[walled, free]).order_by("spell")
    }
    behind = horizon[walled.pk][15:16]  # azimuths 75 to 80, where the May sun climbs past the wall
    assert all(abs(high - HIGH) < 5.0 for high in behind), behind
    assert all(high in (None, 0.0) for high in horizon[walled.pk][28:44])
    assert all(high in (None, 0.0) for high in horizon[free.pk])
    page, other = (
        Client().get(f"/{village.slug}/stations/{one.pk}/?at=2026-05-16T20:00").content.decode()
        for one in (walled, free)
    )
    assert "The sun is hidden from the light sensor in the east below 1" in page
    assert page.count("<polyline") == 3 and "<polygon" in page
    assert "Nothing shades the light sensor" in other


def test_a_hidden_place_shows_no_skyline(village):
    walled = Station.objects.get(name=WALLED)
    Station.objects.filter(pk=walled.pk).update(shown=Station.Shown.HIDDEN)
    page = Client().get(f"/{village.slug}/stations/{walled.pk}/?at=2026-05-16T20:00").content.decode()
    assert "<polyline" not in page
