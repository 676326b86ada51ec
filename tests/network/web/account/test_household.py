"""Handing stations over, and having places deleted."""

import pytest
from django.contrib.auth.models import User
from django.core import mail
from django.test import Client
from django.urls import reverse

from network.models import Decision, Notice, Work
from stations.models import DeviceKey, Household, Placement, Station, Village
from tests.stations.conftest import BOX, PASSWORD, person
from tests.stations.conftest import homes as homes
from tests.stations.conftest import keeper as keeper
from tests.stations.conftest import neighbour as neighbour
from tests.stations.conftest import quick_passwords as quick_passwords
from tests.stations.conftest import steward as steward


@pytest.fixture
def orchard(neighbour) -> Household:
    return Household.objects.get(name="Orchard")


def hand_over(client: Client, homes, to: Household) -> object:
    said = {"stations": [homes.station.pk], "to": to.pk}
    return client.post(reverse("hand-over", args=[homes.household.pk]), said)


def test_a_station_goes_to_another_household_with_all_it_has(
    homes, keeper, neighbour, orchard, django_capture_on_commit_callbacks
):
    person("finn", homes.household)
    key, _ = DeviceKey.issue(homes.live())
    said = keeper.get(reverse("hand-over", args=[homes.household.pk])).content.decode()
    assert "The whole record goes along" in said
    with django_capture_on_commit_callbacks(execute=True):
        assert hand_over(keeper, homes, orchard).status_code == 302
    homes.station.refresh_from_db()
    key.refresh_from_db()
    assert (homes.station.household, homes.station.state, key.revoked_at) == (orchard, "live", None)
    assert keeper.get(reverse("register-name", args=[homes.station.pk])).status_code == 404
    assert neighbour.get(reverse("register-name", args=[homes.station.pk])).status_code == 200
    assert "from Mill to Orchard" in Notice.objects.get().words
    assert [one.to for one in mail.outbox] == [["finn@example.org"]]  # kay did it, and knows


def test_handing_over_computes_nothing_again(homes, keeper, orchard):
    homes.live()
    Work.objects.all().delete()
    hand_over(keeper, homes, orchard)
    assert not Work.objects.exists()


def test_a_steward_hands_over_for_a_household_and_its_keepers_are_told(
    homes, keeper, steward, orchard, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        hand_over(steward, homes, orchard)
    assert Station.objects.get().household == orchard
    assert [one.to for one in mail.outbox] == [["kay@example.org"]]


def test_a_name_that_the_other_household_has_already_is_told(homes, keeper, orchard):
    Station.objects.create(household=orchard, name="Garden")
    assert b"Orchard already has a station called Garden" in hand_over(keeper, homes, orchard).content
    assert homes.household.stations.exists()


def test_nothing_goes_to_another_village_or_to_a_household_that_nobody_keeps(homes, keeper, orchard):
    away = Village.objects.create(name="Farwick", slug="farwick", zone="Europe/Zurich", **BOX)
    inn = Household.objects.create(village=away, name="Inn")
    person("sam", inn)
    empty = Household.objects.create(village=homes.village, name="Barn")
    for to in (inn, empty, homes.household):
        assert hand_over(keeper, homes, to).status_code == 400
    assert Station.objects.get().household == homes.household


def test_a_station_of_another_household_cannot_be_handed_over_from_ones_own(
    homes, neighbour, orchard, keeper
):
    said = {"stations": [homes.station.pk], "to": homes.household.pk}
    assert neighbour.post(reverse("hand-over", args=[orchard.pk]), said).status_code == 400
    assert Station.objects.get().household == homes.household


def test_where_nobody_could_take_it_on_that_is_said(homes, keeper):
    page = keeper.get(reverse("hand-over", args=[homes.household.pk]))
    assert b"No other household here has a keeper yet" in page.content


def test_places_are_deleted_on_a_households_wish_and_what_was_measured_is_left_as_it_is(homes, keeper):
    DeviceKey.issue(homes.live())
    Work.objects.all().delete()
    address = reverse("household-erase", args=[homes.household.pk])
    assert b"What they measured stays" in keeper.get(address).content
    assert keeper.post(address, {"password": "no"}).status_code == 400
    assert Placement.objects.exists()
    keeper.post(address, {"password": PASSWORD})
    homes.station.refresh_from_db()
    assert homes.station.state == Station.State.RETIRED
    assert not Placement.objects.exists()
    assert not homes.station.keys.filter(revoked_at=None).exists()
    assert Decision.objects.get().kind == Decision.Kind.RETIRE
    assert not Work.objects.exists()
    assert keeper.get(reverse("my-stations")).status_code == 200
    assert keeper.get(reverse("station", args=[homes.village.slug, homes.station.pk])).status_code == 200
    assert keeper.get(reverse("front"), follow=True).status_code == 200


def test_a_draft_is_retired_quietly(homes, keeper):
    keeper.post(reverse("household-erase", args=[homes.household.pk]), {"password": PASSWORD})
    assert Station.objects.get().state == Station.State.RETIRED
    assert not Decision.objects.exists()
    assert User.objects.filter(username="kay").exists()
