"""The battery on a station's page: for its keeper, with the cautions beside it."""

import re

import pytest
from django.contrib.auth.models import User
from django.test import Client

from network.web.power import awake_asked
from stations.models import Membership, Station
from tests.network.powered import NOW, live, orchard


def page(station: Station, client: Client, **query: str) -> str:
    """The page's words without its tags."""
    address = f"/{station.village.slug}/stations/{station.pk}/"
    answer = client.get(address, {"at": str(NOW), **query})
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


@pytest.fixture
def station(db) -> Station:
    return orchard()


@pytest.fixture
def keeper(station: Station) -> Client:
    person = User.objects.create_user("kay")
    Membership.objects.create(household=station.household, person=person)
    client = Client()
    client.force_login(person)
    return client


def test_a_keeper_reads_how_long_the_battery_lasts_night_by_night(station, keeper):
    live(station, first=4.28, a_night=0.12, by_day=0.03)
    words = page(station, keeper)
    assert "At this rate the battery lasts about one more night" in words
    assert "dawn volts full, % night took day gave sun, %" in words and "20 Nov 3.46" in words
    assert "A battery can burn or burst" in words


def test_nobody_else_reads_it(station):
    live(station, first=4.28, a_night=0.12, by_day=0.03)
    assert "At this rate the battery" not in page(station, Client())


def test_a_keeper_may_say_what_reports_cost(station, keeper):
    live(station, first=4.0, a_night=0.06, by_day=0.06)
    assert "if 70 % of what a night takes goes with the reports, which is assumed" in page(station, keeper)
    assert "if 30 % of what a night takes goes with the reports, as you say" in page(
        station, keeper, awake="30"
    )


@pytest.mark.parametrize("said", ["", "-5", "101", "12.5", "seventy", "99999999", "٣"])
def test_what_is_no_share_is_passed_over(said):
    assert awake_asked({"awake": said}) is None
