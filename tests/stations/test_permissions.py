"""A station's pages are its keepers' and its village's steward's; for anyone else they do not exist."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import Client
from django.urls import reverse

from stations.models import DeviceKey, Household, Station

PAGES = [
    "register-name",
    "register-place",
    "register-instruments",
    "register-siting",
    "register-clock",
    "register-key",
    "register-waiting",
    "register-waiting-state",
    "station-give-up",
]
POSTS = [
    "register-name",
    "register-place",
    "register-clock",
    "register-key",
    "station-life",
    "station-give-up",
]
OF_A_CHANNEL = ["register-instrument", "register-instrument-remove", "register-calibration"]


def addresses(homes) -> list[str]:
    """Every page of a station that can be looked at."""
    station, channel = homes.station.pk, homes.thermometer.pk
    return [
        *(reverse(name, args=[station]) for name in PAGES),
        *(reverse(name, args=[station, channel]) for name in OF_A_CHANNEL),
        reverse("register-instrument-add", args=[station, "rain_amount"]),
        reverse("register-siting-note", args=[station, "air_temperature"]),
    ]


def test_its_keeper_and_the_steward_see_every_page(homes, keeper, steward):
    for client in (keeper, steward):
        assert {address: client.get(address).status_code for address in addresses(homes)} == dict.fromkeys(
            addresses(homes), 200
        )


def test_for_a_neighbour_and_another_villages_steward_there_is_no_such_page(homes, neighbour, stranger):
    homes.live()  # also not once its readings are public
    for client in (neighbour, stranger):
        for address in addresses(homes):
            assert client.get(address).status_code == 404, address


def test_whoever_is_not_signed_in_is_asked_to(homes):
    for address in addresses(homes):
        assert Client().get(address).headers["Location"].startswith(reverse("sign-in")), address


@pytest.mark.parametrize("name", POSTS)
def test_nobody_else_can_change_anything(homes, neighbour, stranger, name):
    for client in (neighbour, stranger):
        said = {"name": "Stolen", "to": "retired", "latitude": 47.3, "longitude": 8.9, "elevation": 1}
        assert client.post(reverse(name, args=[homes.station.pk]), said).status_code == 404
    homes.station.refresh_from_db()
    assert (homes.station.name, homes.station.state) == ("Garden", "draft")
    assert not homes.station.keys.exists()


def test_nobody_else_can_take_an_instrument_away_or_revoke_a_key(homes, neighbour, stranger):
    made, _ = DeviceKey.issue(homes.station)
    for client in (neighbour, stranger):
        for address in (
            reverse("register-instrument-remove", args=[homes.station.pk, homes.thermometer.pk]),
            reverse("register-key-revoke", args=[homes.station.pk, made.pk]),
        ):
            assert client.post(address, {"since": "2026-04-01T12:00"}).status_code == 404
    made.refresh_from_db()
    assert made.revoked_at is None
    assert homes.station.channels.count() == 1


def test_a_channel_or_key_of_another_station_is_not_reached_through_ones_own(homes, keeper):
    barn = Household.objects.create(village=homes.village, name="Barn")
    other = Station.objects.create(household=barn, name="Roof")
    key, _ = DeviceKey.issue(other)
    assert keeper.post(reverse("register-key-revoke", args=[homes.station.pk, key.pk])).status_code == 404
    homes.thermometer.station = other
    homes.thermometer.save()
    for name in OF_A_CHANNEL:
        address = reverse(name, args=[homes.station.pk, homes.thermometer.pk])
        assert keeper.get(address).status_code == 404, name


def test_a_station_can_only_be_put_into_ones_own_household(homes, neighbour, steward):
    said = {"name": "Cuckoo", "household": homes.household.pk}
    assert neighbour.post(reverse("register"), said).status_code == 200  # asked again
    assert not Station.objects.filter(name="Cuckoo").exists()
    assert steward.post(reverse("register"), said).status_code == 302
    assert Station.objects.get(name="Cuckoo").household == homes.household


def test_my_stations_are_those_of_my_households(homes, keeper, neighbour):
    assert b"Garden" in keeper.get(reverse("my-stations")).content
    assert b"Garden" not in neighbour.get(reverse("my-stations")).content


def test_nobody_keeps_anything_without_signing_in(homes):
    assert not Station.objects.kept_by(AnonymousUser())
    assert not Household.objects.kept_by(AnonymousUser())


def test_other_places_stay_hidden_on_the_sheet_as_their_households_wish(homes, neighbour):
    station = homes.live()
    mine = Station.objects.create(household=Household.objects.get(name="Orchard"), name="Tree")
    sheet = reverse("register-place", args=[mine.pk])
    assert b"Garden" in neighbour.get(sheet).content
    station.shown = Station.Shown.HIDDEN
    station.save()
    assert b"Garden" not in neighbour.get(sheet).content
