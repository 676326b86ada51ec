"""Photos of where a station stands: added and taken away by its keepers, shown to whom they may be shown."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_POST, require_safe

from stations.forms import PhotoForm
from stations.models import Photo, Station
from stations.registration import Course, placement
from stations.views.describing import form_page
from stations.views.keeper import StepPage, for_keeper

MOST = 12
"""Photos of one placement."""


@dataclass(frozen=True)
class PhotosPage(StepPage):
    """Everything stations/photos.html may show."""

    photos: tuple[Photo, ...] = ()
    placed: bool = False
    exact: bool = False
    full: bool = False


@form_page
@for_keeper
def photos(request: HttpRequest, station: Station) -> HttpResponse:
    """The photos of where it stands now, and the way to add one."""
    place = placement(station)
    kept = tuple(place.photos.defer("jpeg")) if place else ()
    form = PhotoForm(request.POST or None, request.FILES or None, station=station)
    full = len(kept) >= MOST
    if request.method == "POST" and place and not full and form.is_valid():
        said = form.cleaned_data
        picture = said["file"]
        Photo.objects.create(
            placement=place,
            jpeg=picture.jpeg,
            width=picture.width,
            height=picture.height,
            words=said["words"],
            towards=said["towards"],
            shown=said.get("shown", False),
            added_by=request.user,
        )
        messages.success(request, "Kept. Add another below, or go on.")
        return redirect("register-photos", station.pk)
    exact = station.shown == Station.Shown.EXACT
    page = PhotosPage(
        station,
        Course.of(station, "siting"),
        form,
        photos=kept,
        placed=place is not None,
        exact=exact,
        full=full,
    )
    return render(request, "stations/photos.html", {"page": page})


@require_POST
@for_keeper
def change(request: HttpRequest, station: Station, photo: int) -> HttpResponse:
    """Let others see a photo, keep it to the household again, or take it away."""
    found = get_object_or_404(Photo.objects.defer("jpeg"), pk=photo, placement__station=station)
    to = request.POST.get("to", "")
    if to == "gone":
        found.delete()
        messages.success(request, "Taken away, and deleted.")
    elif to in ("shown", "kept"):
        Photo.objects.filter(pk=found.pk).update(shown=to == "shown")
    return redirect("register-photos", station.pk)


@require_safe
@cache_control(private=True, max_age=3600)
def photo(request: HttpRequest, photo: int) -> HttpResponse:
    """The picture itself, for whoever may see it."""
    found = get_object_or_404(Photo.objects.select_related("placement__station"), pk=photo)
    station = found.placement.station
    kept = Station.objects.kept_by(request.user).filter(pk=station.pk).exists()
    public = Station.objects.open_to(request.user).filter(pk=station.pk).exists()
    if not kept and not (public and Photo.objects.visible().filter(pk=found.pk).exists()):
        raise Http404
    return HttpResponse(bytes(found.jpeg), content_type="image/jpeg")
