"""A station's own skyline as a picture, a sentence and a table."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from network.models import Skyline
from network.science.skyline import BIN
from network.science.sun import solar_position
from stations.models import Station

WEST_TO_EAST = (45.0, 315.0)
"""[deg] The part of the horizon that is drawn, from north-east by south to north-west."""

HIGHEST = 72.0
"""[deg] The top of the picture; the midsummer sun stands below it at this latitude and northwards."""

WIDE, TALL = 540.0, 132.0

DAYS = {"midsummer": "2026-06-21", "the equinoxes": "2026-03-20", "midwinter": "2026-12-21"}

SIDES = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")

WORTH_SAYING = 5.0
"""[deg] WMO asks for no shade above it of the best place for a light sensor (from memory)."""


@dataclass(frozen=True)
class Side:
    """One of eight directions."""

    words: str
    high: str


@dataclass(frozen=True)
class Drawn:
    """Everything ``_station_skyline.html`` shows."""

    sentence: str
    horizon: list[str]  # polygons
    paths: list[str]  # the sun's, polylines
    sides: list[Side]
    wide: float = WIDE
    tall: float = TALL


def skyline(station: Station, at: int) -> Drawn | None:
    """The newest skyline learnt by ``at`` [UTC epoch s]; None where no light sensor has taught one."""
    row = Skyline.objects.filter(station=station, spell__lte=at).order_by("-spell").first()
    if row is None:
        return None
    horizon = np.array([np.nan if high is None else high for high in row.horizon], dtype=np.float64)
    latitude, longitude = station.village.centre
    return Drawn(
        sentence=_sentence(horizon),
        horizon=list(_polygons(horizon)),
        paths=_sun_paths(round(latitude, 1), round(longitude, 1)),
        sides=[
            Side(SIDES[i], f"{high:.0f}°") for i, high in enumerate(_by_side(horizon)) if np.isfinite(high)
        ],
    )


def _by_side(horizon: np.ndarray) -> list[float]:
    """The highest of each side [deg], NaN where nothing is known."""
    azimuth = BIN * (np.arange(horizon.size) + 0.5)
    side = np.round(azimuth / 45.0).astype(int) % 8
    return [
        float(np.max(known)) if (known := horizon[(side == i) & np.isfinite(horizon)]).size else np.nan
        for i in range(8)
    ]


def _sentence(horizon: np.ndarray) -> str:
    told = [
        f"in the {SIDES[i]} below {high:.0f}°"
        for i, high in enumerate(_by_side(horizon))
        if high >= WORTH_SAYING
    ]
    if not told:
        return "Nothing shades the light sensor, as far as it has seen the sun of these weeks."
    listed = told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
    return f"The sun is hidden from the light sensor {listed}."


def _polygons(horizon: np.ndarray) -> list[str]:
    """The ground up to the horizon, one polygon for each unbroken part that is known."""
    polygons, points = [], []
    for i, high in enumerate([*horizon.tolist(), np.nan]):
        left, right = i * BIN, (i + 1) * BIN
        if np.isfinite(high) and left >= WEST_TO_EAST[0] and right <= WEST_TO_EAST[1]:
            points += [_point(left, high), _point(right, high)]
        elif points:
            first, last = points[0].split(",")[0], points[-1].split(",")[0]
            polygons.append(" ".join([f"{first},{TALL:.1f}", *points, f"{last},{TALL:.1f}"]))
            points = []
    return polygons


@lru_cache(maxsize=32)
def _sun_paths(latitude: float, longitude: float) -> list[str]:
    """Where the sun goes on the longest, the middling and the shortest day."""
    paths = []
    for day in DAYS.values():
        seconds = np.datetime64(day, "s").astype(np.int64) + 600 * np.arange(-72, 216)
        elevation, azimuth = solar_position(seconds, latitude, longitude)
        noon = int(np.argmax(elevation[72:216])) + 72
        part = slice(noon - 60, noon + 61)
        shown = (elevation[part] > 0) & (azimuth[part] > WEST_TO_EAST[0]) & (azimuth[part] < WEST_TO_EAST[1])
        paths.append(
            " ".join(
                _point(float(a), float(e))
                for a, e in zip(azimuth[part][shown], elevation[part][shown], strict=True)
            )
        )
    return paths


def _point(azimuth: float, elevation: float) -> str:
    across = (azimuth - WEST_TO_EAST[0]) / (WEST_TO_EAST[1] - WEST_TO_EAST[0]) * WIDE
    return f"{across:.1f},{TALL * (1 - min(elevation, HIGHEST) / HIGHEST):.1f}"
