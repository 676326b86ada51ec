"""Which state may follow which, by whose hand."""

import pytest
from django.urls import reverse

from network.models import Decision, Report
from stations import life
from stations.models import DeviceKey, Station

State = Station.State


def go(client, station, to):
    """Press the button that leads to a state; the page's words and the state then."""
    page = client.post(reverse("station-life", args=[station.pk]), {"to": to}, follow=True)
    station.refresh_from_db()
    return page.content.decode(), station.state


def test_a_complete_draft_is_sent_for_approval_and_can_be_taken_back(homes, keeper):
    DeviceKey.issue(homes.station)
    assert go(keeper, homes.station, State.AWAITING)[1] == State.AWAITING
    assert go(keeper, homes.station, State.DRAFT)[1] == State.DRAFT


def test_an_incomplete_draft_is_told_what_is_missing(homes, keeper):
    words, state = go(keeper, homes.station, State.AWAITING)
    assert state == State.DRAFT
    assert "Make a device key" in words


@pytest.mark.parametrize("state", [State.DRAFT, State.AWAITING, State.PAUSED])
def test_no_keeper_lets_a_station_count(homes, keeper, state):
    if state == State.PAUSED:
        homes.live()
    homes.station.state = state
    homes.station.save()
    words, after = go(keeper, homes.station, State.LIVE)
    assert after == state
    assert "steward can help" in words


def test_pausing_a_live_station_is_written_down_like_a_decision(homes, keeper):
    words, state = go(keeper, homes.live(), State.PAUSED)
    assert state == State.PAUSED
    assert "do not count for now" in words
    assert homes.station.counts_until is not None
    decision = Decision.objects.get()
    assert (decision.kind, decision.made_by.username) == ("pause", "kay")


def test_a_paused_station_asks_to_count_again_and_may_think_better_of_it(homes, keeper):
    DeviceKey.issue(homes.station)
    go(keeper, homes.live(), State.PAUSED)
    assert go(keeper, homes.station, State.AWAITING)[1] == State.AWAITING
    assert go(keeper, homes.station, State.DRAFT)[1] == State.AWAITING
    assert go(keeper, homes.station, State.PAUSED)[1] == State.PAUSED


def test_retiring_revokes_the_keys_and_closes_the_questions(homes, keeper):
    key, _ = DeviceKey.issue(homes.station)
    assert go(keeper, homes.live(), State.RETIRED)[1] == State.RETIRED
    key.refresh_from_db()
    assert key.revoked_at is not None
    page = keeper.post(reverse("register-name", args=[homes.station.pk]), {"name": "Ghost"}, follow=True)
    assert "its record stays" in page.content.decode()
    homes.station.refresh_from_db()
    assert homes.station.name == "Garden"


def test_a_draft_is_given_up_with_its_keys(homes, keeper):
    key, _ = DeviceKey.issue(homes.station)
    assert go(keeper, homes.station, State.RETIRED)[1] == State.RETIRED
    key.refresh_from_db()
    assert key.revoked_at is not None


def test_a_draft_that_never_reported_is_deleted_after_asking_once(homes, keeper):
    DeviceKey.issue(homes.station)
    address = reverse("station-give-up", args=[homes.station.pk])
    assert address in keeper.get(reverse("my-stations")).content.decode()
    page = keeper.get(address).content.decode()
    assert "It never reported, so it is deleted" in page and "cannot be undone" in page
    assert Station.objects.filter(pk=homes.station.pk).exists()  # asking changes nothing
    page = keeper.post(address, follow=True).content.decode()
    assert "Garden. Deleted." in page
    assert not Station.objects.filter(pk=homes.station.pk).exists()


def test_a_draft_that_reported_is_retired_and_keeps_its_record(homes, keeper):
    Report.objects.create(station=homes.station, received_at=1_760_000_000.0, body=b"{}")
    address = reverse("station-give-up", args=[homes.station.pk])
    assert "It has a record already, and that stays" in keeper.get(address).content.decode()
    keeper.post(address)
    homes.station.refresh_from_db()
    assert homes.station.state == State.RETIRED
    assert Report.objects.filter(station=homes.station).exists()


def test_nothing_but_a_draft_is_given_up_and_by_nobody_but_its_keeper(homes, keeper, client):
    address = reverse("station-give-up", args=[homes.station.pk])
    assert client.post(address).status_code == 302  # to the sign-in
    assert keeper.post(reverse("station-give-up", args=[homes.live().pk])).status_code == 404
    assert Station.objects.filter(pk=homes.station.pk).exists()


def test_a_state_nobody_knows_is_refused(homes, keeper):
    assert go(keeper, homes.station, "flying")[1] == State.DRAFT


def test_every_state_has_its_sentence():
    assert set(life.MEANING) == set(State)
