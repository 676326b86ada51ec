"""Outside what the latitude and the season allow."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Bools, Seconds, Window
from network.science.constants import ZERO_CELSIUS

Bounds = tuple[float, float, float, float]
"""Erroneous below, suspect below, suspect above, erroneous above; in the units the table prints."""

ANYWHERE: tuple[Bounds, Bounds] = ((300, 400, 1080, 1100), (300, 400, 1080, 1100))
WMO_305: dict[str, dict[bool, tuple[Bounds, Bounds]]] = {
    # variable: {beyond 45 degrees: (winter, summer)}; a wind has no lower bound, so it is mirrored
    "air_temperature": {
        False: ((-40, -30, 50, 55), (-30, -20, 50, 60)),
        True: ((-90, -80, 35, 40), (-40, -30, 40, 50)),
    },
    "dew_point": {
        False: ((-45, -35, 35, 40), (-35, -25, 35, 40)),
        True: ((-99, -85, 30, 35), (-45, -35, 35, 40)),
    },
    "station_pressure": {False: ANYWHERE, True: ANYWHERE},
    "sea_level_pressure": {
        False: ((870, 910, 1080, 1100), (850, 900, 1080, 1100)),
        True: ((910, 940, 1080, 1100), (920, 950, 1080, 1100)),
    },
    "wind_speed": {
        False: ((-125, -60, 60, 125), (-150, -90, 90, 150)),
        True: ((-100, -50, 50, 100), (-75, -40, 40, 75)),
    },
}
SCALE = {
    "air_temperature": (1.0, ZERO_CELSIUS),
    "dew_point": (1.0, ZERO_CELSIUS),
    "station_pressure": (100.0, 0.0),
    "sea_level_pressure": (100.0, 0.0),
    "wind_speed": (1.0, 0.0),
}
"""From the table's unit to the catalogue's: times, plus."""


def winter(seconds: Seconds, latitude: float) -> Bools:
    """Where the station's half of the Earth has winter: October to March in the north, shape (n,)."""
    month = seconds.astype("datetime64[s]").astype("datetime64[M]").astype(np.int64) % 12 + 1
    northern: Bools = (month >= 10) | (month <= 3)
    return northern if latitude >= 0 else ~northern


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    names = [name for name in WMO_305 if name in window.values]
    if not names:
        return
    season = np.where(winter(window.seconds, window.latitude), 0, 1)
    tables = np.array([WMO_305[name][abs(window.latitude) > 45.0] for name in names])
    scale, zero = np.array([SCALE[name] for name in names]).T[..., None, None]
    error_low, low, high, error_high = np.moveaxis(tables * scale + zero, 2, 0).take(season, axis=2)
    middle, half = (low + high) / 2, (high - low) / 2
    values = np.stack([window.values[name] for name in names])
    # 1 where the table begins to suspect, 2 where it speaks of an error.
    beyond = np.maximum((values - high) / (error_high - high), (low - values) / (low - error_low))
    strain = np.where(beyond > 0, 1.0 + beyond, np.abs(values - middle) / half)
    for i, variable in enumerate(names):
        yield Evidence("climate", variable, strain[i], middle[i], half[i])


CHECK = Check(
    name="climate",
    bit=3,
    family="limits",
    source="WMO-No. 305 (1993), pages VI.6 to VI.8, read second-hand",
    thresholds={},
    needs="latitude and date",
    meaning="The {variable} of {observed} is outside what this latitude and season allow ({low} to {high}).",
    advice="If it is true it is a record. Sunshine on the sensor is the usual cause.",
    judge=look,
    excused_by="departure",
)
