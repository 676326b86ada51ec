"""A person's own account: what is in it, its address, what is held about them, and closing it."""

from dataclasses import dataclass
from typing import Any

from django.contrib.auth import logout
from django.contrib.auth.decorators import login_required
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from network.pipeline.verbs import closing
from network.web.account.held import held_about
from stations.forms.proving import CloseForm, EmailForm
from stations.models import Membership, Village
from stations.views.asking import Asked, ask
from stations.views.describing import form_page


@dataclass(frozen=True)
class AccountPage:
    """Everything stations/account.html may show."""

    person: User
    memberships: list[Membership]
    village: Village | None = None


@never_cache
@require_safe
@login_required
def account(request: HttpRequest) -> HttpResponse:
    """Who I am here, and what I can do about it."""
    memberships = list(request.user.memberships.select_related("household__village"))
    village = memberships[0].household.village if memberships else None
    return render(request, "stations/account.html", {"page": AccountPage(request.user, memberships, village)})


@never_cache
@form_page
@login_required
def email(request: HttpRequest) -> HttpResponse:
    """Change the address that notices go to."""
    person = request.user
    given = request.POST if request.method == "POST" else None
    form = EmailForm(given, request=request, initial={"email": person.email})

    def go() -> None:
        person.email = form.cleaned_data["email"]
        person.save(update_fields=["email"])

    asked = Asked(None, "To which e-mail address?", [], "Keep it", reverse("account"), form=form)
    return ask(request, asked, go, "Your e-mail address is changed.", "account")


@never_cache
@require_safe
@login_required
def data(request: HttpRequest) -> HttpResponse:
    """What the hub holds about the reader, as a file to take away."""
    answer = JsonResponse(held_about(request.user), json_dumps_params={"indent": 2, "ensure_ascii": False})
    name = f"{timezone.now():%Y-%m-%d}-what-the-hub-holds-about-me.json"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@never_cache
@form_page
@login_required
def close(request: HttpRequest) -> HttpResponse:
    """Close the reader's account, after saying what goes and what stays."""
    person = request.user
    alone = closing.alone_in(person)
    names = [str(one.household) for one in alone]
    form = CloseForm(request.POST if request.method == "POST" else None, request=request, alone_in=names)
    asked = Asked(
        village=None,
        title="Close your account?",
        sentences=_of_closing(person, alone),
        button="Close my account",
        back=reverse("account"),
        problem=closing.why_not(person),
        form=form,
        ways=[
            (reverse("hand-over", args=[one.household.pk]), f"Hand over from {one.household} first")
            for one in alone
            if one.at_work
        ],
    )

    def go() -> None:
        closing.close(person, form.erasing)
        logout(request)

    told = " An e-mail says so too." if person.email else ""
    return ask(request, asked, go, f"Your account is closed, and your name is deleted.{told}", "front")


def _of_closing(person: Any, alone: list[closing.Alone]) -> list[str]:
    said = [
        "Your name, e-mail address, password and log-ins are deleted at once and for good. You are signed out "
        "everywhere, and links you made to ask others in stop working.",
        "What the stations of your household measured stays, with where they stand, their photos and notes. "
        "What you wrote down or decided stays too, and no longer says by whom.",
    ]
    for one in alone:
        if one.at_work:
            stations = ", ".join(station.name for station in one.at_work)
            said.append(
                f"You are the last keeper of {one.household}. Hand {stations} over first, if another household can take "
                "it on; otherwise the steward is told, and looks after it or retires it."
            )
    if person.memberships.exists() and not alone:
        said.append(
            "The places, photos and notes are your household’s: its page deletes them, if it so wishes."
        )
    return said
