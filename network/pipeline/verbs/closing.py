"""Closing a person's account: name, address, password and log-ins go; what the stations measured stays."""

from dataclasses import dataclass
from typing import Any

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import transaction

from network.pipeline.verbs.household import erase
from stations import belonging, letters
from stations.belonging import MustStay
from stations.models import Household, Invitation, Station


@dataclass(frozen=True)
class Alone:
    """A household whose last keeper the person is, and its stations that still work."""

    household: Household
    at_work: list[Station]


def alone_in(person: Any) -> list[Alone]:
    """Households with stations that nobody would keep, were this person gone."""
    memberships = person.memberships.select_related("household__village").order_by("household__name")
    return [
        Alone(one.household, belonging.stations_at_work(one.household))
        for one in memberships
        if belonging.only_keeper(one) and one.household.stations.exists()
    ]


def why_not(person: Any) -> str:
    """Why the account cannot be closed now, and what to do first; '' where it can."""
    if villages := belonging.left_without_steward(person):
        return belonging.last_steward(villages[0])
    others = User.objects.filter(is_superuser=True, is_active=True).exclude(pk=person.pk)
    if person.is_superuser and not others.exists():
        return "Yours is the only account that runs this hub: give another account that right first, under /admin/."
    return ""


def close(person: Any, erasing: bool = False) -> None:
    """Close the account at once, and tell its address. Raises MustStay.

    With ``erasing`` the places, photos and notes of stations that nobody keeps any more go as well.
    """
    name, address = person.get_username(), person.email
    with transaction.atomic():
        if problem := why_not(person):
            raise MustStay(problem)
        homes = list(
            Household.objects.filter(memberships__person=person).select_related("village").distinct()
        )
        alone = alone_in(person)
        for one in alone if erasing else ():
            erase(one.household, person)
        _forget_visits(person)
        Invitation.objects.open().filter(made_by=person).delete()
        if address:
            Invitation.objects.filter(email__iexact=address).delete()
        person.delete()
        for home in homes:
            belonging.tidy(home)
    left = [] if erasing else [one for one in alone if one.at_work]
    for one in left:
        belonging.tell_stewards(one.household, one.at_work)
    letters.post(
        [address],
        "Your account is closed",
        "closed",
        name=name,
        erased=[str(one.household) for one in alone] if erasing else [],
        kept=[str(home) for home in homes if home.pk and home.stations.exists()],
        left=[str(one.household) for one in left],
    )


def _forget_visits(person: Any) -> None:
    """Delete where and when somebody signed in, and what keeps them signed in elsewhere."""
    for visits in (AccessAttempt, AccessFailureLog, AccessLog):
        visits.objects.filter(username=person.get_username()).delete()
    theirs = [
        session.pk
        for session in Session.objects.iterator()
        if session.get_decoded().get(SESSION_KEY) == str(person.pk)
    ]
    Session.objects.filter(pk__in=theirs).delete()
