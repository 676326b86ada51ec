"""A household's people: who they are, who decides about them, and how one goes."""

from dataclasses import dataclass, field

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from stations import belonging, letters
from stations.models import Household, Invitation, Membership, Station, Village
from stations.views.asking import Asked, ask
from stations.views.describing import form_page


@dataclass(frozen=True)
class Member:
    """One person of a household, and what the reader may do about them."""

    membership: Membership
    name: str
    email: str  # fellow keepers and the steward see it; '' where there is none
    me: bool
    decided: bool  # whether the reader, as steward, may appoint or remove them


@dataclass(frozen=True)
class HouseholdPage:
    """Everything stations/household.html may show."""

    household: Household
    members: list[Member]
    invitations: list[Invitation]
    stations: list[Station]
    mine: Membership | None  # the reader's own place in it; None for a steward of another household
    at_work: list[Station] = field(default_factory=list)  # not retired: somebody must look after them

    @property
    def village(self) -> Village:
        return self.household.village


@never_cache
@require_safe
@login_required
def household(request: HttpRequest, pk: int) -> HttpResponse:
    """Who keeps it, who has been asked in, and what can be done about either."""
    found = get_object_or_404(Household.objects.kept_by(request.user).select_related("village"), pk=pk)
    decided = set(found.memberships.decided_by(request.user).values_list("pk", flat=True))
    memberships = list(found.memberships.select_related("person").order_by("person__username"))
    page = HouseholdPage(
        household=found,
        members=[
            Member(
                one,
                one.person.get_username(),
                one.person.email,
                one.person == request.user,
                one.pk in decided,
            )
            for one in memberships
            if one.person.is_active
        ],
        invitations=list(found.invitations.open().select_related("made_by").order_by("made_at")),
        stations=list(found.stations.all()),
        mine=next((one for one in memberships if one.person == request.user), None),
        at_work=belonging.stations_at_work(found),
    )
    return render(request, "stations/household.html", {"page": page})


@require_POST
@login_required
def withdraw(request: HttpRequest, pk: int, invitation: int) -> HttpResponse:
    """Let a link that nobody has used open nothing any more."""
    home = get_object_or_404(Household.objects.kept_by(request.user), pk=pk)
    get_object_or_404(home.invitations.open(), pk=invitation).delete()
    messages.success(request, "Withdrawn: that link no longer works.")
    return redirect("household", home.pk)


@form_page
@login_required
def leave(request: HttpRequest, pk: int) -> HttpResponse:
    """Go from a household."""
    mine = _mine(request, pk)
    home, at_work = mine.household, belonging.stations_at_work(mine.household)
    alone = belonging.only_keeper(mine) and bool(at_work)
    problem = belonging.last_steward(home.village) if belonging.only_steward(mine) else ""
    asked = Asked(
        village=home.village,
        title=f"Leave {home}?",
        sentences=_of_leaving(home, at_work, alone),
        button=f"Leave {home}",
        back=home.get_absolute_url(),
        problem=problem,
        ways=[(reverse("hand-over", args=[home.pk]), "Hand over first")] if alone else [],
    )

    def go() -> None:
        belonging.end(mine)
        if alone:
            belonging.tell_stewards(home, at_work)

    return ask(request, asked, go, f"You have left {home}.", "my-stations")


def _of_leaving(home: Household, at_work: list[Station], alone: bool) -> list[str]:
    said = [
        "You can no longer change its stations then, and get no notices about them. "
        "Your account stays, and what the stations measured stays in the village’s record.",
        "Links that you made to ask others in, and that nobody has used, stop working.",
    ]
    if alone:
        names = ", ".join(station.name for station in at_work)
        said.insert(
            0,
            f"You are the last keeper of {home}. Nobody will look after {names}: hand over what another household "
            "can take on, or leave it to the steward, who is told and hands it over or retires it.",
        )
    return said


@form_page
@login_required
def remove(request: HttpRequest, pk: int, membership: int) -> HttpResponse:
    """A steward takes a keeper off a household."""
    theirs = _decided(request, pk, membership)
    home, name = theirs.household, theirs.person.get_username()
    said = [
        f"{name} can no longer change the stations of {home}, and gets no notices about them. "
        "Their account stays, and what they have written down stays. They are told by e-mail if they gave an address.",
        "Their device keys go on working. If the device is theirs and should report no longer, make a new key "
        "for the station and revoke the old one.",
    ]
    if belonging.only_keeper(theirs) and (at_work := belonging.stations_at_work(home)):
        names = ", ".join(station.name for station in at_work)
        said.insert(
            0,
            f"Nobody else keeps {home}. As the steward you then look after {names}, until you hand over or retire.",
        )
    asked = Asked(home.village, f"Take {name} off {home}?", said, f"Take {name} off", home.get_absolute_url())

    def go() -> None:
        address = theirs.person.email
        belonging.end(theirs)
        letters.post([address], f"You no longer keep {home}", "removed", household=home)

    return ask(request, asked, go, f"{name} no longer keeps {home}.", "household", home.pk)


@form_page
@login_required
def appoint(request: HttpRequest, pk: int, membership: int) -> HttpResponse:
    """A steward makes another."""
    theirs = _decided(request, pk, membership)
    home, name = theirs.household, theirs.person.get_username()
    asked = Asked(
        village=home.village,
        title=f"Make {name} a steward of {home.village}?",
        sentences=[
            f"{name} then approves stations, decides about what the checks doubt, and sees the exact place of every "
            "station, just as you do.",
            "A steward cannot be removed by another: they step down themselves.",
        ],
        button=f"Make {name} a steward",
        back=home.get_absolute_url(),
    )

    def go() -> None:
        belonging.appoint(theirs)
        subject = f"You are a steward of {home.village}"
        letters.post(
            [theirs.person.email], subject, "steward", village=home.village, by=request.user.get_username()
        )

    return ask(request, asked, go, f"{name} is a steward of {home.village} now.", "household", home.pk)


@form_page
@login_required
def step_down(request: HttpRequest, pk: int) -> HttpResponse:
    """A steward is a keeper again."""
    mine = get_object_or_404(_own(request), household=pk, role=Membership.Role.STEWARD)
    home = mine.household
    asked = Asked(
        village=home.village,
        title=f"Step down as steward of {home.village}?",
        sentences=[
            f"You stay a keeper of {home}. You no longer see the steward’s desk, and what you have decided stays."
        ],
        button="Step down",
        back=home.get_absolute_url(),
        problem=belonging.last_steward(home.village) if belonging.only_steward(mine) else "",
    )
    return ask(
        request,
        asked,
        lambda: belonging.step_down(mine),
        f"You are a keeper of {home}, and no longer a steward.",
        "household",
        home.pk,
    )


def _own(request: HttpRequest) -> QuerySet[Membership]:
    return Membership.objects.filter(person=request.user).select_related("household__village")


def _mine(request: HttpRequest, household: int) -> Membership:
    return get_object_or_404(_own(request), household=household)


def _decided(request: HttpRequest, household: int, membership: int) -> Membership:
    decided = Membership.objects.decided_by(request.user).present()
    return get_object_or_404(
        decided.select_related("household__village", "person"), pk=membership, household=household
    )
