"""A station pressure that belongs to sea level rather than to where the station stands."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window
from network.science.pressure import standard_atmosphere_pressure


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    pressure = window.values.get("station_pressure")
    sea_level, here = map(float, standard_atmosphere_pressure([0.0, window.elevation]))
    if pressure is None or abs(here - sea_level) < thresholds["least_difference"]:
        return
    likely = thresholds["likely_departure"]
    fits_sea_level = np.abs(pressure - sea_level) <= likely
    strain = np.where(fits_sea_level, np.abs(pressure - here) / likely, 0.0 * pressure)
    yield Evidence("pressure_for_elevation", "station_pressure", strain, here, likely)


CHECK = Check(
    name="pressure_for_elevation",
    bit=15,
    family="own other variables",
    source="standard atmosphere (ISO 2533:1975); departures of 45 hPa from it are rare: common practice",
    thresholds={"least_difference": 2000.0, "likely_departure": 4500.0},  # [Pa]
    needs="elevation, and enough of it for 20 hPa",
    meaning="The {variable} of {observed} fits sea level; at this elevation we expect about {expected}.",
    advice="The device probably reduces it to sea level itself. Turn that off, or say so in the channel.",
    judge=look,
    unfit_at=1.0,
    excused_by="departure",
)
