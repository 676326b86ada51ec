"""Who may open a station's pages, asked once; and what every page of the course shows."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from stations.life import MEANING
from stations.models import Station, Village
from stations.registration import Course, described

View = Callable[..., HttpResponse]


def for_keeper(view: View) -> View:
    """Hand the view a station its reader keeps, on the village's clock. For anyone else there is no such page."""

    @login_required
    @wraps(view)
    def found(request: HttpRequest, pk: int, **rest: Any) -> HttpResponse:
        station = get_object_or_404(described(Station.objects.kept_by(request.user)), pk=pk)
        if station.state == Station.State.RETIRED and request.method == "POST":
            messages.info(
                request,
                f"{station.name}. {MEANING[Station.State.RETIRED]} Only the steward can bring it back.",
            )
            return redirect("my-stations")
        with timezone.override(station.village.clock):
            return view(request, station, **rest)

    return found


@dataclass(frozen=True)
class StepPage:
    """What a page of the course shows: its station, the way, and the question's form."""

    station: Station
    course: Course
    form: forms.Form | None = None
    cautions: tuple[str, ...] = ()

    @property
    def village(self) -> Village:
        return self.station.village
