"""Asking somebody in: who may, into which household, and what the link opens."""

import re
from datetime import timedelta

from django.contrib.auth.models import User
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from stations.models import Household, Invitation, Membership
from tests.stations.conftest import PASSWORD

NEW = {"username": "newman", "email": "", "password1": PASSWORD, "password2": PASSWORD}


def link(page) -> str:
    """The path in the link that a page shows."""
    return re.search(
        rf"http://[^/<]+({reverse('join', args=['X'])[:-2]}[^<]+)</code>", page.content.decode()
    )[1]


def test_a_keeper_asks_a_fellow_keeper_in_who_opens_an_account(homes, keeper):
    join = link(keeper.post(reverse("invite"), {"household": homes.household.pk}))
    visitor = Client()
    assert b"Join Mill in Testwick" in visitor.get(join).content
    assert visitor.post(join, NEW).headers["Location"] == reverse("my-stations")
    assert b"Garden" in visitor.get(reverse("my-stations")).content
    assert Membership.objects.get(person__username="newman").role == Membership.Role.KEEPER


def test_the_secret_is_shown_once_and_kept_as_a_hash(homes, keeper):
    secret = link(keeper.post(reverse("invite"), {"household": homes.household.pk})).split("/")[-2]
    assert secret.encode() not in keeper.get(reverse("invite")).content
    assert secret not in Invitation.objects.get().secret_hash


def test_a_link_opens_one_account_only(homes, keeper):
    join = link(keeper.post(reverse("invite"), {"household": homes.household.pk}))
    Client().post(join, NEW)
    page = Client().post(join, NEW | {"username": "second"})
    assert page.status_code == 410
    assert b"has been used" in page.content
    assert not User.objects.filter(username="second").exists()


def test_a_name_or_an_address_that_cannot_be_is_told_and_still_stands_there(homes, keeper):
    join = link(keeper.post(reverse("invite"), {"household": homes.household.pk}))
    page = Client().post(join, NEW | {"username": "New Man", "email": "new@"}).content.decode()
    assert "without spaces, such as nina.brook" in page
    assert "Write an address such as kay@example.org" in page
    assert 'value="New Man"' in page
    assert 'value="new@"' in page


def test_a_link_that_ran_out_says_so(homes):
    invitation, secret = Invitation.issue(homes.household)
    invitation.expires_at = timezone.now() - timedelta(seconds=1)
    invitation.save()
    page = Client().get(reverse("join", args=[secret]))
    assert page.status_code == 410
    assert b"has run out" in page.content


def test_a_link_nobody_made_is_told_kindly(homes):
    page = Client().get(reverse("join", args=["made-up"]))
    assert page.status_code == 404
    assert b"Nobody made this invitation" in page.content


def test_who_is_signed_in_adds_the_household_to_their_account(homes, neighbour):
    _, secret = Invitation.issue(homes.household)
    neighbour.post(reverse("join", args=[secret]))
    assert User.objects.get(username="nils").memberships.count() == 2


def test_a_weak_password_or_a_taken_name_is_told_beside_the_field(homes, keeper):
    _, secret = Invitation.issue(homes.household)
    page = Client().post(
        reverse("join", args=[secret]), NEW | {"username": "kay", "password1": "short", "password2": "short"}
    )
    assert b"Somebody has this name already" in page.content
    assert b"at least 10 characters" in page.content
    assert Invitation.objects.open().count() == 1


def test_a_steward_asks_in_a_new_household_and_another_steward(homes, steward):
    join = link(steward.post(reverse("invite"), {"new_household": "Forge", "role": "steward"}))
    Client().post(join, NEW)
    membership = Membership.objects.get(person__username="newman")
    assert (membership.household.name, membership.role) == ("Forge", "steward")
    assert membership.household.village == homes.village


def test_a_household_of_a_name_that_exists_is_told(homes, steward):
    page = steward.post(reverse("invite"), {"new_household": "Mill", "role": "keeper"})
    assert b"already has a household of this name" in page.content


def test_a_keeper_cannot_make_stewards_households_or_keepers_elsewhere(homes, keeper, neighbour):
    keeper.post(
        reverse("invite"), {"household": homes.household.pk, "role": "steward", "new_household": "Castle"}
    )
    assert Invitation.objects.get().role == Membership.Role.KEEPER
    assert not Household.objects.filter(name="Castle").exists()
    orchard = Household.objects.get(name="Orchard")
    keeper.post(reverse("invite"), {"household": orchard.pk})
    assert Invitation.objects.count() == 1


def test_the_link_is_sent_where_an_address_was_given(homes, keeper):
    page = keeper.post(reverse("invite"), {"household": homes.household.pk, "email": "friend@example.org"})
    assert mail.outbox[0].to == ["friend@example.org"]
    assert link(page) in mail.outbox[0].body
