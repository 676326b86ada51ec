"""One's own account: its address, and what the hub holds about its owner."""

import json
from datetime import UTC, datetime

from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from network.models import Decision, Notice
from stations.models import Household, Invitation
from tests.stations.conftest import PASSWORD, signed_in
from tests.stations.conftest import homes as homes
from tests.stations.conftest import keeper as keeper
from tests.stations.conftest import neighbour as neighbour
from tests.stations.conftest import quick_passwords as quick_passwords


def test_the_page_says_who_one_is_here(keeper):
    told = keeper.get(reverse("account")).content.decode()
    assert "kay@example.org" in told
    assert "Mill" in told


def test_the_address_is_changed_by_who_knows_the_password(keeper):
    address = reverse("account-email")
    assert keeper.post(address, {"email": "new@example.org", "password": "no"}).status_code == 400
    assert User.objects.get().email == "kay@example.org"
    keeper.post(address, {"email": "new@example.org", "password": PASSWORD})
    assert User.objects.get().email == "new@example.org"
    keeper.post(address, {"email": "", "password": PASSWORD})
    assert User.objects.get().email == ""


def test_what_is_held_is_one_file_about_its_owner_and_nobody_else(homes, keeper, neighbour):
    kay = User.objects.get(username="kay")
    Decision.objects.create(
        station=homes.station, kind="keep", begins_at=0, ends_at=1, made_by=kay, reason="Ice"
    )
    Notice.objects.create(
        station=homes.station, cause="x", day=datetime(2026, 3, 1, tzinfo=UTC), words="Look."
    )
    Invitation.issue(homes.household, made_by=kay, email="friend@example.org")
    Client().post(reverse("sign-in"), {"username": "kay", "password": PASSWORD})
    answer = keeper.get(reverse("account-data"))
    assert answer.headers["Content-Disposition"].endswith('what-the-hub-holds-about-me.json"')
    held = json.loads(answer.content)
    assert (held["account"]["name"], held["account"]["email"]) == ("kay", "kay@example.org")
    assert held["households"][0]["stations"][0]["places"][0]["latitude"] == 47.31
    assert held["decisions_made"][0]["why"] == "Ice"
    assert held["notices"][0]["words"] == "Look."
    assert held["invitations_made"][0]["to"] == "friend@example.org"
    assert held["visits"][0]["what"] == "signed in"
    text = answer.content.decode()
    assert kay.password not in text
    assert "nils" not in text
    other = json.loads(neighbour.get(reverse("account-data")).content)
    assert (other["households"][0]["name"], other["notices"], other["decisions_made"]) == ("Orchard", [], [])


def test_who_belongs_to_no_household_has_an_account_all_the_same(db):
    alone = signed_in(User.objects.create_user("lone", "", PASSWORD))
    assert "You belong to no household" in alone.get(reverse("account")).content.decode()
    assert json.loads(alone.get(reverse("account-data")).content)["households"] == []


def test_what_is_held_takes_the_same_few_queries_however_many_stations(
    homes, keeper, django_assert_max_num_queries
):
    with django_assert_max_num_queries(25):
        keeper.get(reverse("account-data"))
    assert Household.objects.exists()
