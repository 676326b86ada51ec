"""Device keys: made and shown once, two at most while one takes over from the other, revoked at will."""

from dataclasses import dataclass

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from stations.models import DeviceKey, Station
from stations.programs import NO_KEY, Program
from stations.registration import Course, channels
from stations.sending import curl_line
from stations.views.describing import form_page
from stations.views.keeper import StepPage, for_keeper
from stations.views.programs import programs

AT_MOST = 2


@dataclass(frozen=True)
class KeyPage(StepPage):
    """Everything stations/key.html may show. ``text`` is the new key, this once."""

    open: tuple[DeviceKey, ...] = ()
    revoked: tuple[DeviceKey, ...] = ()
    text: str = ""
    curl: str = ""
    programs: tuple[Program, ...] = ()
    full: bool = False


@never_cache
@form_page
@for_keeper
def key(request: HttpRequest, station: Station) -> HttpResponse:
    """The station's keys; POST makes a new one and shows it."""
    text = ""
    if request.method == "POST":
        if station.keys.filter(revoked_at=None).count() >= AT_MOST:
            messages.error(request, "The station has two keys already: revoke the one no device uses first.")
            return redirect("register-key", station.pk)
        _, text = DeviceKey.issue(station)
    keys = list(station.keys.order_by("made_at"))
    current = tuple(each for each in keys if each.revoked_at is None)
    page = KeyPage(
        station,
        Course.of(station, "key"),
        open=current,
        revoked=tuple(each for each in keys if each.revoked_at),
        text=text,
        curl=curl_line(f"{settings.SITE_URL}{_way_in()}", text or NO_KEY, channels(station)),
        programs=programs(station, text),
        full=len(current) >= AT_MOST,
    )
    return render(request, "stations/key.html", {"page": page})


@require_POST
@for_keeper
def revoke(request: HttpRequest, station: Station, key: int) -> HttpResponse:
    """From now on the key opens nothing."""
    found = get_object_or_404(station.keys, pk=key, revoked_at=None)
    found.revoked_at = timezone.now()
    found.save(update_fields=["revoked_at"])
    messages.success(request, f"The key ending in {found.ending} no longer works.")
    return redirect("register-key", station.pk)


def _way_in() -> str:
    return reverse("reports")
