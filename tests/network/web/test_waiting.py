"""Waiting for the first report: the page says what came in and how it is understood."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from stations import history
from stations.models import DeviceKey, Household, Membership, Placement, Station, Village


@pytest.fixture
def station(db) -> Station:
    village = Village.objects.create(
        name="Testwick", slug="testwick", zone="Europe/Zurich", south=47.3, north=47.32, west=8.9, east=8.93
    )
    station = Station.objects.create(
        household=Household.objects.create(village=village, name="Mill"), name="Garden"
    )
    since = timezone.now() - timedelta(days=2)
    Placement.objects.create(station=station, begins_at=since, latitude=47.31, longitude=8.91, elevation=440)
    history.fit(station, {"variable": "air_temperature"}, {"name": "temp", "unit": "[degF]"}, since)
    wind = history.fit(station, {"variable": "wind_speed"}, {"name": "pulses", "unit": "count"}, since)
    history.calibrate(wind, since, "rotor", {"metres_per_pulse": 0.7, "period": 60}, "", None)
    return station


@pytest.fixture
def keeper(station) -> Client:
    person = User.objects.create_user("kay")
    Membership.objects.create(household=station.household, person=person)
    client = Client()
    client.force_login(person)
    return client


@pytest.fixture
def send(station):
    """A device of the station that sends what it is given."""
    _, key = DeviceKey.issue(station)

    def post(body, content_type="application/json"):
        text = body if isinstance(body, str) else json.dumps(body)
        return Client().post(reverse("reports"), text, content_type, headers={"X-Device-Key": key})

    return post


def words(keeper, station) -> str:
    return keeper.get(reverse("register-waiting", args=[station.pk])).content.decode()


def test_before_anything_came_the_page_says_what_to_look_at(keeper, station):
    assert "Nothing has come in yet" in words(keeper, station)


def test_the_first_readings_are_shown_as_said_and_as_understood(keeper, station, send):
    assert send({"temp": 68, "pulses": 60}).status_code == 202
    page = words(keeper, station)
    # 68 °F is 20 °C exactly (NIST SP 811, table B.8); 60 pulses in 60 s at 0.7 m a pulse are 0.7 m/s (by hand).
    for said, understood in (("68 °F", "20.0 °C"), ("60 count", "0.7 m/s")):
        assert said in page
        assert understood in page


def test_times_stand_on_the_villages_clock(keeper, station, send):
    noon = datetime.now(UTC).replace(minute=0, second=0, microsecond=0) - timedelta(hours=1)
    send({"temp": 68, "time": noon.isoformat()})
    shown = noon.astimezone(station.village.clock)
    assert f"{shown:%H:%M}</time>" in words(keeper, station)


def test_an_unknown_channel_is_shown_with_the_way_to_describe_it(keeper, station, send):
    send({"temp": 68, "hum": 55})
    page = words(keeper, station)
    assert "<code>hum</code> (55)" in page
    assert f"{reverse('register-instruments', args=[station.pk])}?name=hum" in page


def test_a_unit_that_cannot_be_is_told_in_words(keeper, station, send):
    send([{"n": "temp", "v": 990, "u": "hPa"}], "application/senml+json")
    page = words(keeper, station)
    assert "is not understood" in page
    assert "unit of pressure, not of temperature" in page


def test_a_refused_report_is_listed_with_the_reason(keeper, station, send):
    assert send("{temp: ").status_code == 400
    page = words(keeper, station)
    assert "cannot read it yet" in page
    assert "The JSON breaks off" in page


def test_the_state_changes_when_something_comes_in(keeper, station, send):
    address = reverse("register-waiting-state", args=[station.pk])
    before = keeper.get(address).json()
    assert keeper.get(address).json() == before
    send({"temp": 68})
    assert keeper.get(address).json() != before


def test_what_a_device_says_cannot_break_out_of_the_page(keeper, station, send):
    send({"temp": 68, "<script>": 1})
    assert "<script>alert" not in words(keeper, station)
    assert "&lt;script&gt;" in words(keeper, station)
