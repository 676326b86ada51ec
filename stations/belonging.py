"""Who belongs to a household and to a village's stewards: being appointed, stepping down, leaving, being removed.

A village never loses its last steward this way: with nobody to approve and decide, it would stand still.
"""

from typing import Any

from django.db import transaction

from stations import letters
from stations.models import Household, Invitation, Membership, Station, Village


class MustStay(ValueError):
    """This person may not go yet; the sentence says what to do first."""


def only_steward(membership: Membership) -> bool:
    """Whether the village would be without a steward, were this membership gone."""
    if membership.role != Membership.Role.STEWARD:
        return False
    others = Membership.objects.stewards_of(membership.household.village).exclude(pk=membership.pk)
    return not others.exists()


def left_without_steward(person: Any) -> list[Village]:
    """Villages that would have no steward, were this person gone."""
    mine = Village.objects.filter(
        households__memberships__in=person.memberships.filter(role=Membership.Role.STEWARD)
    ).distinct()
    return [
        village
        for village in mine
        if not Membership.objects.stewards_of(village).exclude(person=person).exists()
    ]


def only_keeper(membership: Membership) -> bool:
    """Whether nobody with an open account would be left in the household."""
    return not membership.household.memberships.present().exclude(pk=membership.pk).exists()


def stations_at_work(household: Household) -> list[Station]:
    """Stations of the household that are not retired: somebody has to look after them."""
    return list(household.stations.exclude(state=Station.State.RETIRED))


@transaction.atomic
def appoint(membership: Membership) -> None:
    """Make a keeper a steward of the village too."""
    Membership.objects.filter(pk=membership.pk).update(role=Membership.Role.STEWARD)


@transaction.atomic
def step_down(membership: Membership) -> None:
    """Be a keeper again, and no steward. Raises MustStay for the last one."""
    _hold(membership.household.village)
    _must_not_be_last(membership)
    Membership.objects.filter(pk=membership.pk).update(role=Membership.Role.KEEPER)


@transaction.atomic
def end(membership: Membership) -> None:
    """Take a person out of a household, by their own wish or the steward's. Raises MustStay for the last steward.

    Links that they made for others and that nobody has used open nothing any more.
    """
    _hold(membership.household.village)
    _must_not_be_last(membership)
    household = membership.household
    Invitation.objects.open().filter(made_by=membership.person, household=household).delete()
    membership.delete()
    tidy(household)


def tell_stewards(household: Household, at_work: list[Station]) -> None:
    """Tell the village's stewards of stations that nobody keeps any more."""
    stewards = Membership.objects.stewards_of(household.village)
    addresses = stewards.values_list("person__email", flat=True).distinct()
    names = [station.name for station in at_work]
    subject = f"Nobody keeps {household} any more"
    letters.post(addresses, subject, "unkept", household=household, stations=names)


def tidy(household: Household) -> None:
    """Let go of a household that has nobody and nothing: its name alone is nobody's business any more."""
    if not (household.memberships.exists() or household.stations.exists() or household.invitations.open()):
        household.delete()


def _hold(village: Village) -> None:
    """Two stewards who go in the same moment are asked one after the other."""
    Village.objects.select_for_update().get(pk=village.pk)


def _must_not_be_last(membership: Membership) -> None:
    if only_steward(membership):
        raise MustStay(last_steward(membership.household.village))


def last_steward(village: Village) -> str:
    """Why the last steward must stay, and what to do."""
    return (
        f"You are the only steward of {village}: without one, nobody could approve stations or decide. "
        "First make another keeper a steward, or ask a steward in."
    )
