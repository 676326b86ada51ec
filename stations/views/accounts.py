"""Asking neighbours in, and their first step through the door."""

from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache

from stations import letters
from stations.forms import InviteForm, JoinForm
from stations.models import Household, Invitation, Membership, Village
from stations.views.describing import form_page


@dataclass(frozen=True)
class InvitePage:
    """Everything stations/invite.html may show. ``link`` is the new invitation's, this once."""

    village: Village
    form: InviteForm
    link: str = ""
    invitation: Invitation | None = None
    posted: bool = False


@dataclass(frozen=True)
class JoinPage:
    """Everything stations/join.html may show."""

    village: Village | None
    invitation: Invitation | None
    problem: str = ""
    form: JoinForm | None = None


@never_cache
@form_page
@login_required
def invite(request: HttpRequest) -> HttpResponse:
    """Ask somebody into a household; the link is shown once."""
    household = Household.objects.kept_by(request.user).select_related("village").first()
    if household is None:
        raise Http404
    asked = {"household": request.GET["household"]} if request.GET.get("household", "").isdecimal() else {}
    form = InviteForm(request.POST or None, person=request.user, initial=asked)
    page = InvitePage(household.village, form)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            form.place.save()
            said = {key: form.cleaned_data[key] for key in ("role", "email") if form.cleaned_data.get(key)}
            invitation, secret = Invitation.issue(form.place, made_by=request.user, **said)
        link = settings.SITE_URL + reverse("join", args=[secret])
        page = InvitePage(form.place.village, form, link, invitation, _post(invitation, link))
    return render(request, "stations/invite.html", {"page": page})


@never_cache
@form_page
def join(request: HttpRequest, secret: str) -> HttpResponse:
    """Open an account in the household of an invitation, or add the household to one's account."""
    invitation = Invitation.objects.select_related("household__village").by_secret(secret)
    problem = _why_not(invitation)
    if problem:
        page = JoinPage(invitation.household.village if invitation else None, None, problem)
        return render(request, "stations/join.html", {"page": page}, status=404 if not invitation else 410)
    form = None
    if not request.user.is_authenticated:
        form = JoinForm(request.POST or None, initial={"email": invitation.email})
    if request.method == "POST" and (form is None or form.is_valid()):
        return _accept(request, invitation, form)
    page = JoinPage(invitation.household.village, invitation, form=form)
    return render(request, "stations/join.html", {"page": page})


def _why_not(invitation: Invitation | None) -> str:
    if invitation is None:
        return "Nobody made this invitation. Was the whole link copied?"
    if invitation.accepted_at is not None:
        return "This invitation has been used. If that was you, sign in."
    if invitation.expires_at <= timezone.now():
        return "This invitation has run out: an invitation is good for two weeks."
    return ""


def _accept(request: HttpRequest, invitation: Invitation, form: JoinForm | None) -> HttpResponse:
    with transaction.atomic():
        taken = Invitation.objects.open().filter(pk=invitation.pk).update(accepted_at=timezone.now())
        if not taken:  # somebody was quicker with the same link
            return redirect(request.path)
        person = form.save() if form else request.user
        _belong(person, invitation)
    if form:
        login(request, person, backend="django.contrib.auth.backends.ModelBackend")
    messages.success(request, f"Welcome to {invitation.household} in {invitation.household.village}.")
    return redirect("my-stations")


def _belong(person: Any, invitation: Invitation) -> None:
    membership, new = Membership.objects.get_or_create(
        household=invitation.household, person=person, defaults={"role": invitation.role}
    )
    if not new and invitation.role == Membership.Role.STEWARD:
        membership.role = Membership.Role.STEWARD
        membership.save(update_fields=["role"])


def _post(invitation: Invitation, link: str) -> bool:
    """Send the link where an address was given; False when it did not go out."""
    subject = f"An invitation to the weather stations of {invitation.household.village}"
    return letters.post([invitation.email], subject, "invitation", invitation=invitation, link=link)
