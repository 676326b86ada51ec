"""Approvals: from which day a station counts, what is missing, and how its life ends."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from network.models import Decision, Notice
from stations.models import DeviceKey, Station
from tests.network.made_village import FOUNDED
from tests.network.web.test_desk import mill as mill
from tests.network.web.test_desk import page
from tests.network.web.test_desk import steward as steward
from tests.network.web.test_desk import village as village

State = Station.State


@pytest.fixture
def waiting(mill) -> Station:
    Station.objects.filter(pk=mill.pk).update(state=State.AWAITING, counts_from=None)
    mill.refresh_from_db()
    return mill


def decide(client, station, **form):
    return client.post(reverse("desk-station", args=[station.village.slug, station.pk]), form)


def test_a_station_that_waits_is_shown_with_what_an_approval_needs(steward, village, waiting):
    words = page(steward, "desk-station", village.slug, waiting.pk)
    assert "Awaiting approval." in words
    assert "It has not reported yet." in words
    assert "Air temperature: an instrument." in words
    assert "Nobody has described its surroundings yet." in words
    assert 'name="since" value="2020-01-01"' in words  # the village day it has stood there since


def test_an_approved_station_counts_from_the_day_given_in_village_time(steward, waiting):
    answer = decide(steward, waiting, kind="approve", since="2026-02-01")
    assert answer.status_code == 302
    waiting.refresh_from_db()
    assert waiting.state == State.LIVE
    assert waiting.counts_from == datetime(2026, 2, 1, tzinfo=ZoneInfo("Europe/Zurich"))


def test_an_approved_station_counts_from_where_it_stands_when_the_day_is_left(steward, waiting):
    decide(steward, waiting, kind="approve", since="2020-01-01")
    waiting.refresh_from_db()
    assert waiting.counts_from == FOUNDED


def test_a_station_sent_back_is_told_what_is_missing(steward, waiting):
    refused = decide(steward, waiting, kind="send_back")
    assert refused.status_code == 400
    assert "Say what is missing" in refused.content.decode()
    decide(steward, waiting, kind="send_back", reason="Where does the rain gauge stand?")
    waiting.refresh_from_db()
    assert waiting.state == State.DRAFT
    assert "Where does the rain gauge stand?" in Notice.objects.get(station=waiting).words


def test_a_live_station_can_be_paused_and_brought_back(steward, mill):
    decide(steward, mill, kind="pause")
    mill.refresh_from_db()
    assert mill.state == State.PAUSED
    decide(steward, mill, kind="approve", since="2020-01-01")
    mill.refresh_from_db()
    assert (mill.state, mill.counts_until) == (State.LIVE, None)
    assert Decision.objects.filter(station=mill).count() == 2


def test_a_retired_stations_keys_stop_working(steward, mill):
    DeviceKey.issue(mill)
    decide(steward, mill, kind="retire", reason="They moved away.")
    mill.refresh_from_db()
    assert mill.state == State.RETIRED
    assert not mill.keys.filter(revoked_at=None).exists()


@pytest.mark.parametrize(
    ("form", "says"), [({}, "Choose one"), ({"kind": "approve", "since": "soon"}, "Write the day")]
)
def test_what_is_missing_in_the_form_is_said(steward, waiting, form, says):
    answer = decide(steward, waiting, **form)
    assert answer.status_code == 400
    assert says in answer.content.decode()


def test_a_draft_is_left_to_its_keeper(steward, village, waiting):
    Station.objects.filter(pk=waiting.pk).update(state=State.DRAFT)
    assert "Its keeper has not sent it for approval yet." in page(
        steward, "desk-station", village.slug, waiting.pk
    )


def test_work_on_a_station_is_noted_in_village_time_and_stands_on_the_trail(steward, village, mill):
    address = reverse("maintenance", args=[village.slug, mill.pk])
    steward.post(
        address, {"begins": "2026-03-27T12:00", "ends": "2026-03-27T12:30", "work": "New batteries."}
    )
    made = Decision.objects.get()
    assert (made.kind, made.ends_at - made.begins_at, made.reason) == ("maintenance", 1800, "New batteries.")
    assert "somebody was at work on it" in page(steward, "trail", village.slug)
    answer = steward.post(address, {"begins": "noon", "ends": ""}, follow=True)
    assert "Write the time as 2026-11-25T14:20." in answer.content.decode()
    answer = steward.post(address, {"begins": "2026-03-27T12:30", "ends": "2026-03-27T12:00"}, follow=True)
    assert "begins before it ends" in answer.content.decode()
    assert Decision.objects.count() == 1
