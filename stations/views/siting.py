"""What stands around each instrument."""

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from network.science.variables import VARIABLES
from stations import cautions
from stations.forms import SitingForm
from stations.models import Placement, SitingNote, Station
from stations.registration import Course, placement, sited
from stations.siting_classes import alike, classification, next_better
from stations.views.describing import form_page
from stations.views.keeper import StepPage, for_keeper


@dataclass(frozen=True)
class Noted:
    """One variable, what was noted last, and what the class above would ask."""

    variable: str
    words: str
    note: SitingNote | None
    better: str


@dataclass(frozen=True)
class SitingPage(StepPage):
    """Everything stations/siting.html and stations/siting_note.html may show."""

    noted: tuple[Noted, ...] = ()
    placed: bool = False
    words: str = ""
    instrument: str = ""
    stands: str = ""
    earlier: tuple[SitingNote, ...] = ()


@require_safe
@for_keeper
def siting(request: HttpRequest, station: Station) -> HttpResponse:
    """Every variable it measures, with its newest note."""
    place = placement(station)
    noted = tuple(_noted(place, name) for name in sited(station)) if place else ()
    page = SitingPage(station, Course.of(station, "siting"), noted=noted, placed=place is not None)
    return render(request, "stations/siting.html", {"page": page})


@form_page
@for_keeper
def note(request: HttpRequest, station: Station, variable: str) -> HttpResponse:
    """Describe the surroundings of one variable; earlier notes stay in the log."""
    place = placement(station)
    if place is None or variable not in sited(station):
        raise Http404
    described, earlier = classification(variable), _notes(place, variable)
    beside = alike(variable, sited(station)) if not earlier else []
    last = earlier[-1] if earlier else None
    initial = {"siting_class": str(last.siting_class or ""), "words": last.words} if last else {}
    form = SitingForm(request.POST or None, variable=variable, beside=beside, initial=initial)
    if request.method == "POST" and form.is_valid():
        _write(place, [variable, *form.cleaned_data.get("also", [])], form, request.user)
        return redirect("register-siting", station.pk)
    page = SitingPage(
        station,
        Course.of(station, "siting"),
        form,
        cautions.for_variable(variable),
        words=VARIABLES[variable].words,
        instrument=described.instrument,
        stands=described.height,
        earlier=tuple(reversed(earlier)),
    )
    return render(request, "stations/siting_note.html", {"page": page})


def _write(place: Placement, variables: list[str], form: SitingForm, by: object) -> None:
    written_at, said = timezone.now(), form.cleaned_data
    for variable in variables:
        note = SitingNote(
            placement=place,
            variable=variable,
            siting_class=said["siting_class"],
            words=said["words"],
            written_at=written_at,
            written_by=by,
        )
        note.full_clean()
        note.save()


def _notes(place: Placement, variable: str) -> list[SitingNote]:
    return [note for note in place.siting_notes.all() if note.variable == variable]


def _noted(place: Placement, variable: str) -> Noted:
    notes = _notes(place, variable)
    last = notes[-1] if notes else None
    better = next_better(variable, last.siting_class if last else None)
    return Noted(variable, VARIABLES[variable].words, last, better)
