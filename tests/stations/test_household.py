"""A household's people: who sees them, who decides about them, and how one goes."""

import pytest
from django.contrib.auth.models import User
from django.core import mail
from django.test import Client
from django.urls import reverse

from stations.models import Household, Invitation, Membership, Station
from tests.stations.conftest import person, signed_in


def belongs(name: str) -> Membership:
    return Membership.objects.get(person__username=name)


def words(client: Client, name: str, *args: object) -> str:
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.fixture
def superuser(homes) -> Client:
    """Whoever runs the hub, belonging to no household."""
    return signed_in(User.objects.create_superuser("root", "root@example.org", "three plain words"))


def addresses(homes) -> list[str]:
    """Everything about the household of Mill that a person may ask for."""
    kay = belongs("kay").pk
    return [
        reverse("household", args=[homes.household.pk]),
        reverse("hand-over", args=[homes.household.pk]),
        reverse("household-erase", args=[homes.household.pk]),
        reverse("household-leave", args=[homes.household.pk]),
        reverse("member-step-down", args=[homes.household.pk]),
        reverse("member-remove", args=[homes.household.pk, kay]),
        reverse("member-appoint", args=[homes.household.pk, kay]),
    ]


OPEN = {
    "keeper": [True, True, True, True, False, False, False],
    "steward": [True, True, True, False, False, True, True],
    "neighbour": [False] * 7,
    "stranger": [False] * 7,
    "superuser": [False] * 7,
}
"""Which of the addresses are there for whom: what one may not do is not there either."""


@pytest.mark.parametrize("who", OPEN)
def test_each_page_is_there_for_whom_it_concerns_and_for_nobody_else(homes, keeper, request, who):
    client = request.getfixturevalue(who)
    seen = [client.get(address).status_code == 200 for address in addresses(homes)]
    assert seen == OPEN[who]


@pytest.mark.parametrize("who", ["neighbour", "stranger", "superuser"])
def test_nobody_else_can_change_anything_by_sending_the_form(homes, keeper, request, who):
    client = request.getfixturevalue(who)
    for address in addresses(homes):
        if address != reverse("household", args=[homes.household.pk]):
            assert client.post(address, {"password": "three plain words"}).status_code == 404
    assert belongs("kay").role == Membership.Role.KEEPER
    assert Station.objects.get().household == homes.household


def test_whoever_is_not_signed_in_is_asked_to(homes, keeper):
    for address in addresses(homes):
        assert Client().get(address).headers["Location"].startswith(reverse("sign-in"))


def test_a_keeper_sees_their_fellow_keepers_and_only_what_they_may_do(homes, keeper):
    fellow = person("finn", homes.household)
    told = words(keeper, "household", homes.household.pk)
    assert "finn@example.org" in told
    assert "Leave this household" in told
    assert "Remove from this household" not in told
    assert "Make a steward" not in told
    assert "Step down" not in told
    assert (
        keeper.post(reverse("member-remove", args=[homes.household.pk, belongs("finn").pk])).status_code
        == 404
    )
    assert fellow.memberships.exists()


def test_a_keeper_leaves_and_no_longer_keeps_the_stations(homes, keeper):
    person("finn", homes.household)
    _, secret = Invitation.issue(homes.household, made_by=User.objects.get(username="kay"))
    told = words(keeper, "household-leave", homes.household.pk)
    assert "what the stations measured stays" in told
    assert "last keeper" not in told
    keeper.post(reverse("household-leave", args=[homes.household.pk]))
    assert not Membership.objects.filter(person__username="kay").exists()
    assert keeper.get(reverse("register-name", args=[homes.station.pk])).status_code == 404
    assert Client().get(reverse("join", args=[secret])).status_code == 404
    assert not mail.outbox


def test_the_last_keeper_is_told_who_looks_after_the_stations_and_so_is_the_steward(homes, keeper, steward):
    assert "You are the last keeper of Mill" in words(keeper, "household-leave", homes.household.pk)
    keeper.post(reverse("household-leave", args=[homes.household.pk]))
    assert mail.outbox[0].to == ["stella@example.org"]
    assert "Garden" in mail.outbox[0].body
    assert Station.objects.get(name="Garden").household == homes.household


def test_a_household_that_has_nobody_and_nothing_left_is_let_go(homes, neighbour):
    neighbour.post(reverse("household-leave", args=[Household.objects.get(name="Orchard").pk]))
    assert not Household.objects.filter(name="Orchard").exists()


def test_a_steward_makes_another_who_is_told_and_may_then_step_down(homes, keeper, steward):
    kay, hall = belongs("kay"), Household.objects.get(name="Hall")
    assert "only steward of Testwick" in words(steward, "member-step-down", hall.pk)
    assert steward.post(reverse("member-step-down", args=[hall.pk])).status_code == 400
    assert belongs("stella").role == Membership.Role.STEWARD
    assert "approves stations" in words(steward, "member-appoint", homes.household.pk, kay.pk)
    steward.post(reverse("member-appoint", args=[homes.household.pk, kay.pk]))
    assert belongs("kay").role == Membership.Role.STEWARD
    assert mail.outbox[0].to == ["kay@example.org"]
    steward.post(reverse("member-step-down", args=[hall.pk]))
    assert belongs("stella").role == Membership.Role.KEEPER
    assert keeper.post(reverse("household-leave", args=[homes.household.pk])).status_code == 400


def test_the_last_steward_cannot_leave_before_handing_over(homes, steward):
    hall = Household.objects.get(name="Hall")
    assert "First make another keeper a steward" in words(steward, "household-leave", hall.pk)
    steward.post(reverse("household-leave", args=[hall.pk]))
    assert belongs("stella").role == Membership.Role.STEWARD


def test_a_steward_whose_account_is_closed_does_not_count_as_another(homes, keeper, steward):
    User.objects.filter(username="kay").update(is_active=False)
    Membership.objects.filter(person__username="kay").update(role=Membership.Role.STEWARD)
    steward.post(reverse("member-step-down", args=[Household.objects.get(name="Hall").pk]))
    assert belongs("stella").role == Membership.Role.STEWARD


def test_a_steward_takes_a_keeper_off_who_is_told(homes, keeper, steward):
    address = reverse("member-remove", args=[homes.household.pk, belongs("kay").pk])
    assert "Nobody else keeps Mill" in steward.get(address).content.decode()
    steward.post(address)
    assert not Membership.objects.filter(person__username="kay").exists()
    assert mail.outbox[0].to == ["kay@example.org"]
    assert keeper.get(reverse("household", args=[homes.household.pk])).status_code == 404


def test_no_steward_takes_off_another_steward_or_themselves(homes, keeper, steward):
    Membership.objects.filter(person__username="kay").update(role=Membership.Role.STEWARD)
    for name in ("kay", "stella"):
        theirs = belongs(name)
        address = reverse("member-remove", args=[theirs.household_id, theirs.pk])
        assert steward.post(address).status_code == 404
    assert Membership.objects.count() == 2


def test_a_person_is_reached_only_through_their_own_household(homes, keeper, steward):
    hall = Household.objects.get(name="Hall")
    assert steward.post(reverse("member-remove", args=[hall.pk, belongs("kay").pk])).status_code == 404


def test_an_open_invitation_is_seen_by_the_household_and_can_be_withdrawn(homes, keeper, neighbour):
    made, secret = Invitation.issue(homes.household, email="friend@example.org")
    assert "friend@example.org" in words(keeper, "household", homes.household.pk)
    address = reverse("invitation-withdraw", args=[homes.household.pk, made.pk])
    assert neighbour.post(address).status_code == 404
    assert Client().get(reverse("join", args=[secret])).status_code == 200
    keeper.post(address)
    assert Client().get(reverse("join", args=[secret])).status_code == 404


def test_asking_in_from_a_households_page_has_that_household_chosen(homes, keeper, steward):
    page = steward.get(reverse("invite"), {"household": homes.household.pk}).content.decode()
    assert f'<option value="{homes.household.pk}" selected>' in page
