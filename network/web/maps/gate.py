"""What it is at one's own gate: the estimate there with its interval, now and over the last day."""

from dataclasses import dataclass
from datetime import datetime
from time import time

import numpy as np
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from network.models import VillageMap
from network.models.storage import Floats
from network.pipeline.ledger.blocks import DAY, FRAME, HOUR
from network.pipeline.maps.map import estimate
from network.science.variables import VARIABLES
from network.science.wind import speed_and_direction
from network.spatial.distance import local_plane
from network.spatial.sites import Grid
from network.spatial.village import TooFew, WindMap
from network.web.map_words import trusted
from network.web.maps.gate_picture import GatePicture, gate_picture
from network.web.phrases import phrase
from network.web.quantities import RAIN_LEAST, amount, compass, figure, hour, written
from network.web.village_map import OFFERED
from network.web.village_now import village_now
from network.web.when import When, when
from stations.models import Village

SHARE = 0.9
"""Of such intervals that hold the truth."""


@dataclass(frozen=True, eq=False)
class AtGate:
    """Estimates at one place, arrays (t,) [canonical unit]; ``said`` where there is a map."""

    at: Floats  # ends of frames [UTC epoch s]
    value: Floats
    low: Floats
    high: Floats
    direction: Floats  # of wind, where it comes from [deg]
    chance: Floats  # of rain, that any fell


@dataclass(frozen=True)
class Gate:
    """Everything network/_gate.html may show. Without an estimate, ``sentence`` says why."""

    latitude: str
    longitude: str
    sentence: str
    variable: str
    picture: GatePicture | None = None
    rows: list[tuple[datetime, str, str, str]] | None = None  # each hour: value, low, high


@dataclass(frozen=True)
class GatePage:
    """Everything network/gate.html may show."""

    village: Village
    variables: list[tuple[str, str, bool]]
    variable: str
    when: When | None
    gate: Gate | None


@require_safe
@gzip_page
def gate_page(request: HttpRequest, village: str) -> HttpResponse:
    """The gate alone: an address to keep, and what the map page puts in place of the last one."""
    found = get_object_or_404(Village, slug=village)
    asked = when(request.GET, found, time())
    named = request.GET.get("variable", "")
    variable = named if named in OFFERED else OFFERED[0]
    offered = [(name, _(VARIABLES[name].short), name == variable) for name in OFFERED]
    gate = None if asked is None else gate_asked(request.GET, found, variable, asked.at)
    return render(request, "network/gate.html", {"page": GatePage(found, offered, variable, asked, gate)})


def gate_asked(query: QueryDict, village: Village, variable: str, at: int) -> Gate | None:
    """The gate at ``?lat=`` and ``?lon=``; None where neither is given."""
    given = [query.get(name, "").strip() for name in ("lat", "lon")]
    if not any(given):
        return None
    latitude, longitude = (_degrees(text) for text in given)
    place = [f"{part:.5f}" if np.isfinite(part) else "" for part in (latitude, longitude)]
    if not all(place):
        return Gate(
            *place,
            _("A place is written in degrees north and east, such as {north} and {east}.").format(
                north=written(village.centre[0], 3), east=written(village.centre[1], 3)
            ),
            variable,
        )
    if not (village.south <= latitude <= village.north and village.west <= longitude <= village.east):
        return Gate(
            *place,
            _(
                "That place lies outside the map, which reaches from {south} to {north} north and from {west} to {east}"
                " east. Are the two swapped?"
            ).format(
                **{side: written(getattr(village, side), 4) for side in ("south", "north", "west", "east")}
            ),
            variable,
        )
    try:
        told = at_gate(village, variable, (latitude, longitude), at)
    except TooFew as too_few:
        return Gate(*place, phrase(str(too_few)), variable)
    zone = village.clock
    sentence = _sentence(told, variable, village)
    if told.at[-1] != at:
        sentence = _("There is no map of {time}.").format(time=_clock(at, village)) + f" {sentence}"
    picture = gate_picture(variable, told.at, told.value, told.low, told.high, at, zone)
    return Gate(*place, sentence, variable, picture, _rows(told, variable, village))


def _degrees(text: str) -> float:
    """The number in a text, with a point or a comma; NaN where there is none."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return np.nan


def at_gate(village: Village, variable: str, place: tuple[float, float], at: int) -> AtGate:
    """The estimates of the day up to ``at``. Raises TooFew where no map of it has three stations."""
    maps = list(
        VillageMap.objects.filter(village=village, variable=variable, at__gt=at - DAY, at__lte=at).order_by(
            "at"
        )
    )
    if not maps:
        now = village_now(village, When.only(at, village.clock))
        raise TooFew(VARIABLES[variable].words, trusted(now, variable)[now.k])
    east, north = (float(part) for part in local_plane(*place, village.centre))
    spot = Grid(east - 0.5, north - 0.5, east + 0.5, north + 0.5, rows=1, columns=1)
    made = estimate(village, maps, spot)
    times = np.array([one.at for one in maps], dtype=np.float64)
    direction = chance = np.full(len(maps), np.nan)
    low, high = (part[0] for part in made.interval(SHARE))
    if isinstance(made, WindMap):
        value, direction = (part[0] for part in speed_and_direction(made.eastward, made.northward))
    else:
        value = made.estimate[0]
        chance = chance if made.chance is None else made.chance[0]
    there = np.isfinite(low)
    return AtGate(*(part[there] for part in (times, value, low, high, direction, chance)))


def _sentence(told: AtGate, variable: str, village: Village) -> str:
    """The newest estimate in words."""
    value, low, high = (float(part[-1]) for part in (told.value, told.low, told.high))
    said: dict[str, str] = {
        "time": _clock(told.at[-1], village),
        "about": amount(variable, value),
        "low": figure(variable, low),
        "high": amount(variable, high),
    }
    if variable == "rain_amount":
        text = _("The hour to {time} stayed dry, as far as the gauges tell.")
        if value > RAIN_LEAST:
            text = _(
                "In the hour to {time} about {about} fell, between {low} and {high} in nine cases out of ten."
            )
        elif high > RAIN_LEAST:
            text = _(
                "The hour to {time} most likely stayed dry; no more than {high} fell in nine cases out of ten."
            )
    elif np.isfinite(told.direction[-1]):
        said["point"] = compass(float(told.direction[-1]))
        text = _(
            "At {time} about {about} from the {point}, between {low} and {high} in nine cases out of ten."
        )
    else:
        text = _("At {time} about {about}, between {low} and {high} in nine cases out of ten.")
    return text.format(**said)


def _clock(at: float, village: Village) -> str:
    return hour(datetime.fromtimestamp(at, village.clock))


def _rows(told: AtGate, variable: str, village: Village) -> list[tuple[datetime, str, str, str]]:
    """Each full hour, the newest first."""
    hours = [i for i, at in enumerate(told.at.tolist()) if at % HOUR < FRAME]
    return [
        (
            datetime.fromtimestamp(told.at[i], village.clock),
            *(figure(variable, float(part[i])) for part in (told.value, told.low, told.high)),
        )
        for i in reversed(hours)
    ]
