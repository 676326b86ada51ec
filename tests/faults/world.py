"""A world: some weeks of ten honest stations in weather of their own."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np

from network.demo import terrain
from network.demo.instruments import Instrument, radiation_error
from network.demo.weather import Weather
from network.science.sun import solar_position
from tests.faults import weather
from tests.faults.said import ACCURACY, MEASURED, SPOKEN, Floats, Said, Seconds, rounded, tips

STATIONS = 10
DAYS = 36
BEGINS = {1: "2024-01-05", 2: "2024-03-12", 3: "2024-06-10", 4: "2024-10-20"}
"""By quarter; the second and the fourth hold the Sunday on which Europe's clocks change."""

RANGES = {
    "air_temperature": (-40.0, 60.0),
    "relative_humidity": (0.0, 100.0),
    "station_pressure": (300.0, 1100.0),
    "wind_speed": (0.0, 50.0),
    "wind_gust": (0.0, 60.0),
    "wind_from_direction": (0.0, 360.0),
    "rain_amount": (0.0, 60.0),
    "irradiance": (0.0, 1500.0),
    "battery_voltage": (0.0, 6.0),
}
"""Of the instruments, in the unit sent."""


@dataclass(frozen=True)
class Place:
    """Where a station stands [deg, deg, m]."""

    latitude: float
    longitude: float
    elevation: float


@dataclass(frozen=True)
class World:
    """Places, ten unless told, and what honest boards in them say."""

    seed: int
    quarter: int
    seconds: Seconds
    places: list[Place]
    honest: list[Said]
    storms: list[tuple[str, int, int]]
    """Severe weather that was added: its name, first and last second."""

    def of(self, stations: Sequence[int]) -> "World":
        """The same weather where only these stations stand."""
        return replace(
            self, places=[self.places[i] for i in stations], honest=[self.honest[i] for i in stations]
        )

    @property
    def a_day(self) -> int:
        """Reports in a day."""
        return 86400 // int(self.seconds[1] - self.seconds[0])


def make(seed: int, quarter: int, days: int = DAYS, severe: bool = False) -> World:
    """The world of a seed, in a quarter of the year, with severe weather added if wanted."""
    random = np.random.default_rng([seed, 77])
    begins = int(datetime.fromisoformat(BEGINS[quarter]).replace(tzinfo=UTC).timestamp())
    seconds = begins + 300 * np.arange(1, days * 288 + 1, dtype=np.int64)
    places = _scattered(random)
    truth = Weather(seed).at(
        seconds,
        *(np.array([getattr(p, axis) for p in places]) for axis in ("latitude", "longitude", "elevation")),
    )
    storms: list[tuple[str, int, int]] = []
    if severe:
        truth, storms = weather.severe(seed, seconds, places, truth)
    elevation, azimuth = solar_position(seconds - 150, terrain.LATITUDE, terrain.LONGITUDE)
    sun = {"sun_elevation": elevation, "sun_azimuth": azimuth}
    charge = truth["irradiance"] / (truth["irradiance"] + 120.0)
    truth["battery_voltage"] = 3.92 + 0.2 * charge
    own = [{name: values[i] for name, values in truth.items()} | sun for i in range(len(places))]
    said = [_sensed(seed, i, own[i], seconds) for i in range(len(places))]
    honest = [
        Said(
            seconds,
            seconds,
            said[i],
            own[i],
            places[i].elevation,
            _sensed(seed, i, own[_other(i, places)], seconds),
        )
        for i in range(len(places))
    ]
    return World(seed, quarter, seconds, places, honest, storms)


def _scattered(random: np.random.Generator) -> list[Place]:
    """Gardens over the whole relief, none nearer to another than 150 m."""
    east, north = np.empty(0), np.empty(0)
    while len(east) < STATIONS:
        x, y = random.uniform(-1150, 1150), random.uniform(-900, 900)
        if not len(east) or np.hypot(east - x, north - y).min() > 150:
            east, north = np.append(east, x), np.append(north, y)
    latitude, longitude = terrain.degrees(east, north)
    ground = terrain.elevation(latitude, longitude)
    return [Place(float(a), float(b), float(c)) for a, b, c in zip(latitude, longitude, ground, strict=True)]


def _other(station: int, places: list[Place]) -> int:
    """The place furthest from a station in elevation."""
    return int(np.argmax([abs(place.elevation - places[station].elevation) for place in places]))


def _sensed(seed: int, station: int, truth: dict[str, Floats], seconds: Seconds) -> dict[str, Floats]:
    """What honest instruments in a fair place say, in the units sent."""
    random = np.random.default_rng([seed, station, 5])
    siting = random.normal(0.0, 0.1), random.normal(0.0, 0.05)  # [K], share of the wind
    said = {}
    for variable in MEASURED:
        values = _instrument(seed, station, variable).sense(truth, seconds)
        if variable == "air_temperature":
            values = values + siting[0]
        if variable in ("wind_speed", "wind_gust"):
            values = values * (1.0 + siting[1])
        said[variable] = tips(values) if variable == "rain_amount" else rounded(variable, values)
    said["wind_gust"] = np.maximum(said["wind_gust"], said["wind_speed"])
    said["wind_from_direction"] = said["wind_from_direction"] % 360.0
    return said


def _instrument(seed: int, station: int, variable: str) -> Instrument:
    channel, unit, resolution = SPOKEN[variable]
    return Instrument(
        station=f"{seed}/{station}",
        variable=variable,
        unit=unit,
        range=RANGES[variable],
        resolution=resolution,
        accuracy=ACCURACY[variable],
        channel=channel,
        sends=unit,
        shield="louvred screen",
    )


def bare_minus_screened(said: Said) -> Floats:
    """How much warmer [K] a thermometer is without its screen, shape (t,)."""
    light, wind = said.truth["irradiance"], said.truth["wind_speed"]
    return radiation_error(light, wind, bare=True) - radiation_error(light, wind, bare=False)
