"""Closing an account: what goes, what stays, who is told, and what is asked first."""

import pytest
from axes.models import AccessLog
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from network.models import Decision
from stations.models import Household, Invitation, Membership, Photo, Placement, SitingNote, Station
from tests.stations.conftest import PASSWORD, Homes, person, signed_in
from tests.stations.conftest import homes as homes
from tests.stations.conftest import keeper as keeper
from tests.stations.conftest import neighbour as neighbour
from tests.stations.conftest import quick_passwords as quick_passwords
from tests.stations.conftest import steward as steward

CLOSE = "account-close"


def close(client: Client, **said: str) -> object:
    return client.post(reverse(CLOSE), {"password": PASSWORD, "places": "kept"} | said)


@pytest.fixture
def described(homes: Homes, keeper: Client) -> Station:
    """Kay's station with a photo and a note, counting in the village."""
    place, kay = homes.station.placements.get(), User.objects.get(username="kay")
    Photo.objects.create(placement=place, jpeg=b"x", width=1, height=1, words="The garden", added_by=kay)
    SitingNote.objects.create(
        placement=place, variable="air_temperature", words="A wall", written_at=timezone.now(), written_by=kay
    )
    return homes.live()


def test_the_account_goes_and_what_it_wrote_stays_without_a_name(described, keeper, steward):
    kay = User.objects.get(username="kay")
    made = Decision.objects.create(station=described, kind="keep", begins_at=0, ends_at=1, made_by=kay)
    said = keeper.get(reverse(CLOSE)).content.decode()
    assert "Your name, e-mail address, password and log-ins are deleted" in said
    assert "What the stations of your household measured stays" in said
    assert close(keeper).headers["Location"] == reverse("front")
    assert not User.objects.filter(username="kay").exists()
    made.refresh_from_db()
    assert made.made_by is None
    assert (SitingNote.objects.get().written_by, Photo.objects.get().added_by) == (None, None)
    assert Station.objects.get(pk=described.pk).state == Station.State.LIVE
    assert keeper.get(reverse("my-stations")).status_code == 302


def test_log_ins_open_browsers_and_invitations_go_with_it(homes, steward):
    person("kay", homes.household)
    elsewhere = Client()
    elsewhere.post(reverse("sign-in"), {"username": "kay", "password": PASSWORD})
    assert AccessLog.objects.filter(username="kay").exists()
    before = Session.objects.count()
    Invitation.issue(homes.household, email="KAY@example.org", accepted_at=timezone.now())
    close(signed_in(User.objects.get(username="kay")))
    assert not AccessLog.objects.filter(username="kay").exists()
    assert elsewhere.get(reverse("my-stations")).status_code == 302
    assert Session.objects.count() < before
    assert not Invitation.objects.exists()


def test_who_gave_an_address_is_told_afterwards_and_the_steward_of_stations_left_alone(
    described, keeper, steward
):
    close(keeper)
    letters = {letter.to[0]: letter.body for letter in mail.outbox}
    assert "Your account kay is closed" in letters["kay@example.org"]
    assert "stays in the village's record" in letters["kay@example.org"]
    assert "Nobody keeps the household Mill" in letters["stella@example.org"]


def test_without_an_address_nothing_is_sent_and_all_the_same_done(described, keeper):
    User.objects.filter(username="kay").update(email="")
    close(keeper)
    assert not User.objects.filter(username="kay").exists()
    assert not mail.outbox


def test_a_wrong_or_missing_password_changes_nothing(homes, keeper):
    assert b"That is not your password" in close(keeper, password="wrong").content
    assert b"Write your password" in close(keeper, password="").content
    assert User.objects.filter(username="kay").exists()


def test_guessing_at_the_password_locks_the_name(homes, keeper):
    for _ in range(8):
        answer = close(keeper, password="wrong")
    assert answer.status_code == 429
    assert close(keeper).status_code == 429
    assert User.objects.filter(username="kay").exists()


def test_the_last_of_a_household_may_have_its_places_deleted_too(described, keeper, steward):
    assert (
        b"What becomes of the places, photos and siting notes of Mill?" in keeper.get(reverse(CLOSE)).content
    )
    close(keeper, places="deleted")
    described.refresh_from_db()
    assert (described.state, described.shown) == (Station.State.RETIRED, Station.Shown.HIDDEN)
    assert not (Placement.objects.exists() or Photo.objects.exists() or SitingNote.objects.exists())
    assert "are deleted as well" in next(one.body for one in mail.outbox if one.to == ["kay@example.org"])


def test_who_is_not_the_last_cannot_have_the_households_places_deleted_with_their_account(described, keeper):
    person("finn", described.household)
    assert b"What becomes of the places" not in keeper.get(reverse(CLOSE)).content
    close(keeper, places="deleted")
    assert Placement.objects.exists()


def test_the_last_steward_hands_over_before_closing(homes, keeper, steward):
    assert b"only steward of Testwick" in steward.get(reverse(CLOSE)).content
    close(steward)
    assert User.objects.filter(username="stella").exists()
    Membership.objects.filter(person__username="kay").update(role=Membership.Role.STEWARD)
    close(steward)
    assert not User.objects.filter(username="stella").exists()


def test_whoever_alone_runs_the_hub_gives_that_on_before_closing(homes):
    first = signed_in(User.objects.create_superuser("root", "", PASSWORD))
    assert b"only account that runs this hub" in close(first).content
    User.objects.create_superuser("other", "", PASSWORD)
    close(first)
    assert not User.objects.filter(username="root").exists()


def test_an_empty_household_goes_with_its_last_keeper(homes, neighbour):
    close(neighbour)
    assert not Household.objects.filter(name="Orchard").exists()


def test_whoever_is_not_signed_in_is_asked_to(db):
    for name in (CLOSE, "account", "account-email", "account-data"):
        assert Client().get(reverse(name)).headers["Location"].startswith(reverse("sign-in"))
