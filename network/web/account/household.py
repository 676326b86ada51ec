"""A household's stations as a whole: handing them over, and having their places deleted."""

from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache

from network.pipeline.verbs.household import erase as erase_household
from network.pipeline.verbs.household import hand_over as hand_station_over
from stations.forms.handing_over import HandOverForm
from stations.forms.proving import ProvingForm
from stations.models import Household, Village
from stations.views.asking import Asked, ask
from stations.views.describing import form_page


@dataclass(frozen=True)
class HandOverPage:
    """Everything stations/hand_over.html may show."""

    household: Household
    form: HandOverForm
    nobody: bool  # no other household of the village has a keeper

    @property
    def village(self) -> Village:
        return self.household.village


@form_page
@login_required
def hand_over(request: HttpRequest, pk: int) -> HttpResponse:
    """Let another household of the village look after stations."""
    home = _home(request, pk)
    form = HandOverForm(request.POST if request.method == "POST" else None, household=home)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        with transaction.atomic():
            for station in said["stations"].select_related("household__village"):
                hand_station_over(station, said["to"], request.user)
        names = ", ".join(station.name for station in said["stations"])
        messages.success(request, f"Handed over to {said['to']}, who has been told: {names}.")
        still = Household.objects.kept_by(request.user).filter(pk=home.pk).exists()
        return redirect("household", home.pk) if still else redirect("my-stations")
    page = HandOverPage(home, form, not form.fields["to"].queryset.exists())
    return render(request, "stations/hand_over.html", {"page": page}, status=400 if form.errors else 200)


@never_cache
@form_page
@login_required
def erase(request: HttpRequest, pk: int) -> HttpResponse:
    """Delete places, photos and notes of the household's stations, after saying what stays."""
    home = _home(request, pk)
    names = ", ".join(station.name for station in home.stations.all())
    form = ProvingForm(request.POST if request.method == "POST" else None, request=request)
    asked = Asked(
        village=home.village,
        title=f"Delete the places, photos and notes of {home}?",
        sentences=[
            f"About {names or 'its stations'} this deletes, at once and for good: where they stood and stand, their "
            "photos, and what was written down of their surroundings. Nobody can bring it back.",
            "The stations are retired: they stop reporting, and their keys no longer work.",
            "What they measured stays: readings, verdicts, and the village maps that were drawn with them. From now on "
            "they appear on no map.",
            "Copies kept in case the machine fails may hold the old data until they are replaced.",
        ],
        button="Delete them and retire the stations",
        back=home.get_absolute_url(),
        problem="" if names else f"{home} has no station, so there is nothing to delete.",
        form=form,
    )
    done = f"Deleted: the places, photos and notes of {home}. What its stations measured stays."
    return ask(request, asked, lambda: erase_household(home, request.user), done, "household", home.pk)


def _home(request: HttpRequest, pk: int) -> Household:
    return get_object_or_404(Household.objects.kept_by(request.user).select_related("village"), pk=pk)
