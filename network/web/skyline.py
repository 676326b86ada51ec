"""A station's own skyline as a sentence, a picture and a table."""

from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from numpy.typing import NDArray

from network.models import Skyline
from network.science.skyline import BIN
from network.web.quantities import COMPASS
from network.web.sentences import listed
from network.web.skyline_picture import Horizon, Picture, picture
from stations.models import Placement

WORTH_SAYING = 5.0
"""[deg] WMO asks for no shade above it of the best place for a light sensor (from memory)."""

ENOUGH = 200
"""Clear moments, ten minutes each: some four days. Shade is told from clouds by coming back on three."""

NOT_YET = gettext_noop(
    "Its light sensor has not yet seen enough clear skies to know what stands between it and the sun."
)
FREE = gettext_noop("Nothing shades its light sensor, as far as it has seen the sun.")


@dataclass(frozen=True)
class Side:
    """One of eight directions."""

    words: str
    hidden: str
    moments: int


@dataclass(frozen=True)
class Drawn:
    """Everything ``_station_skyline.html`` shows; the picture is None while too little is known."""

    sentence: str
    picture: Picture | None = None
    sides: tuple[Side, ...] = ()


def skyline(placement: Placement, at: float) -> Drawn | None:
    """What was learnt of a place by ``at`` [UTC epoch s]; None where no light sensor stands."""
    station = placement.station
    if all(one.variable != "irradiance" for one in station.instruments.all()):
        return None
    learnt = Skyline.objects.filter(
        station=station, spell__lte=at, since__lte=at, since__gt=placement.begins_at.timestamp()
    )
    row = learnt.order_by("-spell").first()
    if row is None or sum(row.moments) < ENOUGH:
        return Drawn(_(NOT_YET))
    horizon = np.array(row.horizon, dtype=np.float64)  # null becomes NaN
    # The village's centre is near enough for the sun, and gives nobody's place away.
    latitude, longitude = station.village.centre
    return Drawn(
        _sentence(horizon),
        picture(horizon, latitude, longitude),
        tuple(_sides(horizon, np.array(row.moments))),
    )


def _sentence(horizon: Horizon) -> str:
    parts = [
        _("{where} up to {high}°").format(where=where, high=round(high)) for where, high in _shades(horizon)
    ]
    if not parts:
        return _(FREE)
    return _("The sun is hidden from its light sensor {where}.").format(where=listed(parts))


def _shades(horizon: Horizon) -> list[tuple[str, float]]:
    """Each unbroken part of the horizon worth saying: where, and how high it reaches [deg]."""
    high = np.concatenate([[False], horizon >= WORTH_SAYING, [False]])
    found = []
    for first, end in np.flatnonzero(high[1:] != high[:-1]).reshape(-1, 2):
        one, other = (_(COMPASS[side]) for side in _side(np.array([first, end - 1])))
        said = _("in the {side}") if one == other else _("between {side} and {other}")
        where = said.format(side=one, other=other)
        found.append((where, float(np.max(horizon[first:end]))))
    return found


def _side(place: NDArray[np.intp]) -> NDArray[np.intp]:
    """Which of the eight directions bins of azimuth lie in."""
    return np.round(BIN * (place + 0.5) / 45.0).astype(np.intp) % len(COMPASS)


def _sides(horizon: Horizon, moments: NDArray[np.int64]) -> list[Side]:
    """The directions in which the sun was seen, each with the highest that hides it."""
    side = _side(np.arange(horizon.size))
    told = []
    for i, words in enumerate(COMPASS):
        known = horizon[(side == i) & np.isfinite(horizon)]
        if known.size:
            high = float(np.max(known))
            hidden = _("up to {high}°").format(high=round(high)) if high >= 0.5 else _("nowhere")
            told.append(Side(_(words), hidden, int(moments[side == i].sum())))
    return told
