"""The questions about the station as a whole: its name, its place, its clock."""

from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from stations import cautions, history
from stations.forms import ClockForm, NameForm, NewStationForm, PlaceForm
from stations.forms.fields import spread_errors
from stations.ground import proposed_elevation
from stations.models import Ground, Household, Placement, Station, Village
from stations.registration import Course
from stations.views.keeper import StepPage, for_keeper
from stations.village_picture import Sheet, sheet

form_page = require_http_methods(["GET", "HEAD", "POST"])


@dataclass(frozen=True)
class NewStationPage:
    """Everything stations/new.html may show."""

    village: Village
    form: NewStationForm


@dataclass(frozen=True)
class PlacePage(StepPage):
    """Everything stations/place.html may show."""

    sheet: Sheet | None = None
    former: tuple[Placement, ...] = ()  # where it stood before
    terrain: bool = False  # the village has a terrain, which proposes the height


@form_page
@login_required
def new(request: HttpRequest) -> HttpResponse:
    """The first question; answering it makes the station."""
    household = Household.objects.kept_by(request.user).select_related("village").first()
    if household is None:
        raise Http404
    form = NewStationForm(request.POST or None, person=request.user)
    if request.method == "POST" and form.is_valid():
        station = form.save()
        return redirect("register-place", station.pk)
    return render(request, "stations/new.html", {"page": NewStationPage(household.village, form)})


@form_page
@for_keeper
def name(request: HttpRequest, station: Station) -> HttpResponse:
    """What it is called."""
    form = NameForm(request.POST or None, instance=station)
    if request.method == "POST" and form.is_valid():
        Station.objects.filter(pk=station.pk).update(name=form.cleaned_data["name"])
        return redirect("register-place", station.pk)
    return render(
        request, "stations/step.html", {"page": StepPage(station, Course.of(station, "name"), form)}
    )


@form_page
@for_keeper
def place(request: HttpRequest, station: Station) -> HttpResponse:
    """Where it stands, and who may see it."""
    form = PlaceForm(request.POST or None, station=station)
    if request.method == "POST" and form.is_valid() and _keep_place(station, form):
        return redirect("register-instruments", station.pk)
    latitude, longitude = (_figure(form, field) for field in ("latitude", "longitude"))
    page = PlacePage(
        station,
        Course.of(station, "place"),
        form,
        cautions.for_place(),
        sheet(station, latitude, longitude),
        tuple(each for each in station.placements.all() if each.ends_at),
        Ground.objects.elevation(station.village) is not None,
    )
    return render(request, "stations/place.html", {"page": page})


@require_safe
@for_keeper
def elevation(request: HttpRequest, station: Station) -> JsonResponse:
    """What the village's terrain says of a place; null where it says nothing."""
    try:
        latitude, longitude = (float(request.GET[name]) for name in ("latitude", "longitude"))
    except (KeyError, ValueError):
        return JsonResponse({"error": "Ask with ?latitude= and ?longitude= in degrees."}, status=400)
    village = station.village
    inside = village.south <= latitude <= village.north and village.west <= longitude <= village.east
    told = proposed_elevation(village, latitude, longitude) if inside else None
    return JsonResponse({"elevation": told})


@form_page
@for_keeper
def clock(request: HttpRequest, station: Station) -> HttpResponse:
    """How its times are to be understood."""
    form = ClockForm(request.POST or None, station=station)
    if request.method == "POST" and form.is_valid() and _keep_clock(station, form):
        return redirect("register-key", station.pk)
    return render(
        request, "stations/step.html", {"page": StepPage(station, Course.of(station, "clock"), form)}
    )


def _keep_place(station: Station, form: PlaceForm) -> bool:
    said = form.cleaned_data
    try:
        history.place(
            station, said["since"], **{key: said[key] for key in ("latitude", "longitude", "elevation")}
        )
    except ValidationError as problem:
        spread_errors(form, problem)
        return False
    if station.shown != said["shown"]:
        # Past save(), like the name: no reading has to be understood anew because of it.
        Station.objects.filter(pk=station.pk).update(shown=said["shown"])
    return True


def _keep_clock(station: Station, form: ClockForm) -> bool:
    said = form.cleaned_data
    try:
        history.set_clock(station, said.get("since") or timezone.now(), **form.clock_fields())
    except ValidationError as problem:
        spread_errors(form, problem)
        return False
    if station.report_every != said["report_every"]:
        station.report_every = said["report_every"]
        station.save(update_fields=["report_every"])
    return True


def _figure(form: PlaceForm, name: str) -> float | None:
    """What a field holds now, typed or kept."""
    try:
        return form.fields[name].to_python(form[name].value())
    except ValidationError:
        return None
