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
    page = keeper.get(reverse("register-waiting", args=[station.pk])).content.decode()
    return page.replace("\N{NO-BREAK SPACE}", " ")


def test_before_anything_came_the_page_says_what_to_look_at(keeper, station):
    assert "Nothing has come in yet" in words(keeper, station)


def test_the_first_readings_are_shown_as_said_and_as_understood(keeper, station, send):
    assert send({"temp": 68, "pulses": 60}).status_code == 202
    page = words(keeper, station)
    # 68 °F is 20 °C exactly (NIST SP 811, table B.8); 60 pulses in 60 s at 0.7 m a pulse are 0.7 m/s (by hand).
    for said, understood in (("68 °F", "20.0 °C"), ("60 count", "0.7 m/s")):
        assert said in page
        assert understood in page


def test_frost_is_written_with_a_true_minus(keeper, station, send):
    send({"temp": -40})
    # −40 °F is −40 °C exactly (NIST SP 811, table B.8).
    page = words(keeper, station)
    assert "−40 °F" in page and "−40.0 °C" in page


def test_times_stand_on_the_villages_clock(keeper, station, send):
    noon = datetime.now(UTC).replace(minute=0, second=0, microsecond=0) - timedelta(hours=1)
    send({"temp": 68, "time": noon.isoformat()})
    shown = noon.astimezone(station.village.clock)
    assert f"{shown:%H:%M}</time>" in words(keeper, station)


def test_an_unknown_channel_is_shown_with_the_way_to_describe_it(keeper, station, send):
    send({"temp": 68, "hum": 55})
    page = words(keeper, station)
    assert "<code>hum</code>, which said 55," in page
    assert f"{reverse('register-instruments', args=[station.pk])}?name=hum" in page


def test_a_misspelt_channel_is_adopted_by_one_click(keeper, station, send):
    send({"tmep": 68, "pulses": 60})
    page = words(keeper, station)
    assert "Did you mean <code>temp</code>, its air temperature?" in page
    adopt = reverse("register-adopt", args=[station.pk, station.channels.get(name="temp").pk])
    assert adopt in page
    assert (
        "tmep is now the air temperature"
        in keeper.post(adopt, {"name": "tmep"}, follow=True).content.decode()
    )
    assert "Did you mean" not in words(keeper, station) and "20.0 °C" in words(keeper, station)


def test_a_channel_that_spoke_before_keeps_its_name_beside_the_new_one(keeper, station, send):
    send({"temp": 68, "pulses": 60})
    send({"tmep": 70, "pulses": 61})
    assert "Did you mean <code>temp</code>" in words(keeper, station)
    adopt = reverse("register-adopt", args=[station.pk, station.channels.get(name="temp").pk])
    keeper.post(adopt, {"name": "tmep"})
    assert set(station.channels.values_list("name", flat=True)) == {"temp", "tmep", "pulses"}
    assert "is not a channel" not in words(keeper, station)


def test_what_counts_keeps_the_name_it_had(keeper, station, send):
    send({"temp": 68})
    station.state, station.counts_from = Station.State.LIVE, timezone.now() - timedelta(days=1)
    station.save()
    wind = station.channels.get(name="pulses")
    send({"temp": 68, "pulse": 60})
    keeper.post(reverse("register-adopt", args=[station.pk, wind.pk]), {"name": "pulse"})
    assert set(station.channels.values_list("name", flat=True)) == {"temp", "pulse", "pulses"}
    assert "0.7 m/s" in words(keeper, station)  # with the rotor's own calibration


@pytest.mark.parametrize("name", ["", "temp", "x" * 300])
def test_a_name_that_cannot_be_is_not_adopted(keeper, station, name):
    wind = station.channels.get(name="pulses")
    assert (
        keeper.post(reverse("register-adopt", args=[station.pk, wind.pk]), {"name": name}).status_code == 302
    )
    assert station.channels.get(pk=wind.pk).name == "pulses"


def test_a_stranger_adopts_nothing(client, station):
    wind = station.channels.get(name="pulses")
    client.post(reverse("register-adopt", args=[station.pk, wind.pk]), {"name": "other"})
    assert station.channels.get(pk=wind.pk).name == "pulses"


def test_the_way_from_pulses_to_wind_is_worked_out(keeper, station, send):
    send({"pulses": 120})
    page = words(keeper, station)
    # By hand: 120 in 60 s are 2 a second; at 0.7 m a pulse 1.4 m/s.
    assert "120 ÷ 60 = 2 a second" in page and "2 × 0.7 m" in page and ">1.4 m/s</strong>" in page


def test_pulses_without_a_calibration_are_explained_by_example(keeper, station, send):
    station.channels.get(name="pulses").calibrations.all().delete()
    send({"pulses": 90})
    assert "With two pulses a turn a pulse is 0.71 m of wind" in words(keeper, station)


def test_values_left_out_of_the_newest_report_are_told(keeper, station, send):
    send({"temp": 68, "pulses": "many"})
    assert "&#x27;pulses&#x27; was left out: &#x27;many&#x27; is not a number" in words(keeper, station)


def test_without_scripts_the_page_has_a_link_to_look_again_and_never_reloads_by_itself(keeper, station):
    page = words(keeper, station)
    assert '<a href="">Look now</a>' in page and 'http-equiv="refresh"' not in page


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
