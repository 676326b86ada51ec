"""What the hours of a village were like: where the sun stood, how clear the sky was, what wind blew."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from network.models.hours import read_hours
from network.models.storage import Floats
from network.pipeline.ledger import blocks
from network.pipeline.metadata.stretches import Stretch
from network.science.sun import DAY, clear_sky_irradiance, solar_position
from network.science.variables import VARIABLES
from network.science.wind import at_height, vector_mean
from stations.models import Village

MOST = 3
"""So many stations tell of the wind and of the light: the best sited of those that count."""

MAST = 10.0
"""[m] The height winds are brought to (WMO-No. 8)."""

ROUGHNESS = 0.1
"""[m] Roughly open ground (Davenport)."""


@dataclass(frozen=True)
class Setting:
    """Arrays of shape (t,), an hour each; NaN where nobody knows."""

    begins_at: np.ndarray  # of each hour [UTC epoch s]
    solar: np.ndarray  # middles of the hours by the mean sun of the village [s]
    sun: Floats  # its elevation [deg]
    light: Floats  # share of a clear sky's light [1]
    wind: Floats  # speed at ten metres [m/s]
    from_direction: Floats  # [deg]
    light_by: list[str]  # names of the stations that told
    wind_by: list[str]


def setting(village: Village, places: Iterable[Stretch], begins_at: int, ends_at: int) -> Setting:
    """The hours of the span, whose edges [UTC epoch s] lie on the hour; ``places`` are the village's stretches."""
    counting = [place for place in places if place.counts_from < ends_at]
    latitude, longitude = village.centre
    hours = np.arange(begins_at, ends_at, blocks.HOUR)
    middles = hours + blocks.HOUR // 2
    sun, _ = solar_position(middles, latitude, longitude)
    light, light_by = _light(_best(counting, "irradiance"), sun, begins_at, ends_at)
    speed, direction, wind_by = _wind(_best(counting, "wind_speed"), begins_at, ends_at)
    return Setting(
        begins_at=hours,
        solar=middles + round(longitude / 360 * DAY),
        sun=sun,
        light=light,
        wind=speed,
        from_direction=direction,
        light_by=light_by,
        wind_by=wind_by,
    )


def _best(places: list[Stretch], variable: str) -> list[Stretch]:
    """A stretch of each of the stations with the least error, and of equals the highest above the ground."""
    having = {place.station: place for place in places if variable in place.noise}
    return sorted(having.values(), key=lambda p: (p.noise[variable], -p.height.get(variable, 0.0)))[:MOST]


def _light(
    places: list[Stretch], sun: Floats, begins_at: int, ends_at: int
) -> tuple[Floats, list[str]]:  # fmt: skip
    """The brightest of them: a cloud dims all, a chimney one."""
    seen = np.full((len(places) + 1, sun.size), np.nan)
    for i, place in enumerate(places):
        seen[i] = read_hours(place.station, "irradiance", begins_at, ends_at)
    possible = clear_sky_irradiance(sun)
    share = np.fmax.reduce(seen, axis=0) / np.where(possible > 0, possible, np.nan)
    return share, [place.name for place, own in zip(places, seen, strict=False) if np.isfinite(own).any()]


def _wind(places: list[Stretch], begins_at: int, ends_at: int) -> tuple[Floats, Floats, list[str]]:
    """The mean of their speeds at ten metres, and the direction of the mean vector."""
    size = (ends_at - begins_at) // blocks.HOUR
    speed, direction = np.full((2, len(places) + 1, size), np.nan)
    for i, place in enumerate(places):
        own = read_hours(place.station, "wind_speed", begins_at, ends_at)
        height = place.height.get("wind_speed", MAST)
        speed[i] = at_height(own, height, MAST, ROUGHNESS)
        direction[i] = read_hours(place.station, "wind_from_direction", begins_at, ends_at)
    known = np.isfinite(speed)
    mean = np.where(known.any(axis=0), np.nansum(speed, axis=0) / np.maximum(known.sum(axis=0), 1), np.nan)
    names = [place.name for place, own in zip(places, known, strict=False) if own.any()]
    return mean, vector_mean(speed, direction, axis=0)[1], names


def errors(
    stations: Iterable[int], variable: str, places: Iterable[Stretch], scored: dict[int, float]
) -> dict[int, float]:
    """Each station's random error in a variable: as its record shows it, else as its instrument is known."""
    stated = {place.station: place.noise.get(variable) for place in places}
    usual = VARIABLES[variable].accuracy
    return {one: scored.get(one) or stated.get(one) or usual for one in stations}
