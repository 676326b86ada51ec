"""Where a station stands, as the reader may know it, and how it is sited."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.science.siting import added_uncertainty
from network.science.variables import VARIABLES
from network.spatial.distance import local_plane
from network.web.phrases import phrase
from network.web.quantities import difference, words_of, written
from stations.models import Placement, SitingNote, Station, Village
from stations.surroundings import Answered

CLASSES = {
    1: gettext_noop("class 1, a reference site"),
    2: gettext_noop("class 2, nearly free"),
    3: gettext_noop("class 3, some obstacles"),
    4: gettext_noop("class 4, close obstacles"),
    5: gettext_noop("class 5, sheltered or heated"),
}
"""Siting classes of WMO-No. 8 and ISO 19289 in a word."""

MOST_NEIGHBOURS = 12
"""So many of the nearest stations are drawn behind a chart."""


@dataclass(frozen=True)
class Place:
    """The place in words."""

    coordinates: str
    elevation: str
    others_see: str  # for the keeper: how others see it
    since: datetime


@dataclass(frozen=True)
class Sited:
    """One variable's surroundings."""

    words: str
    siting_class: str
    adds: str
    note: str
    gain: str  # the one change that would gain most, where the answers tell
    written_at: datetime


def place_of(placement: Placement, kept: bool) -> Place:
    """Keepers and stewards see where it is; others see what the household lets them."""
    shown = placement.station.shown
    if kept or shown == Station.Shown.EXACT:
        spot, elevation, decimals = (
            (placement.latitude, placement.longitude),
            f"{placement.elevation:.0f} m",
            5,
        )
    else:
        spot, decimals = placement.public_place, 3
        # The ground tells where one is: what is rounded is rounded in height too.
        elevation = _("about {metres} m").format(metres=5 * round(placement.elevation / 5)) if spot else ""
    return Place(
        coordinates=_degrees(*spot, decimals) if spot else "",
        elevation=elevation,
        others_see=_(placement.station.get_shown_display()) if kept else "",
        since=placement.begins_at.astimezone(placement.station.village.clock),
    )


def _degrees(latitude: float, longitude: float, decimals: int) -> str:
    north, east = _("N") if latitude >= 0 else _("S"), _("E") if longitude >= 0 else _("W")
    return f"{written(abs(latitude), decimals)}° {north}, {written(abs(longitude), decimals)}° {east}"


def sited(notes: list[SitingNote], village: Village) -> list[Sited]:
    """Siting notes, one for each variable."""
    return [_sited(note, village) for note in notes]


def _sited(note: SitingNote, village: Village) -> Sited:
    variable = VARIABLES[note.variable]
    adds = added_uncertainty(variable, note.siting_class)
    return Sited(
        words=words_of(note.variable),
        siting_class=_(CLASSES[note.siting_class]) if note.siting_class in CLASSES else _("class not known"),
        adds=_("adds about ±{doubt} of doubt").format(
            doubt=difference(note.variable, adds, max(variable.decimals, 1))
        )
        if adds >= variable.accuracy / 4
        else "",
        note=note.words,
        gain=_gain(note),
        written_at=note.written_at.astimezone(village.clock),
    )


def _gain(note: SitingNote) -> str:
    found = Answered(note.answers, draft=False).assessment(note.variable, note.placement)
    return phrase(found.gain.words) if found and found.gain else ""


def nearest(station: Station, at: datetime) -> dict[int, str]:
    """Keys and names of the nearest public stations of the village that stood somewhere at the time."""
    village = station.village
    public = Station.objects.of(village).public()
    standing = list(
        Placement.objects.in_force(at)
        .filter(Q(station__in=public) | Q(station=station))
        .values_list("station", "station__name", "latitude", "longitude")
    )
    own = next((row[2:] for row in standing if row[0] == station.pk), None)
    others = [row for row in standing if row[0] != station.pk]
    if own is not None and others:
        east, north = local_plane(np.array([r[2] for r in others]), np.array([r[3] for r in others]), own)
        others = [others[i] for i in np.argsort(np.hypot(east, north), kind="stable")]
    return {key: name for key, name, *_ in others[:MOST_NEIGHBOURS]}
