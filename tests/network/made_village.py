"""A small village in the database: stations in the invented weather, and the reports their boards would send."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from network.pipeline.intake.receive import Receipt, Sender, receive
from stations.models import Channel, Household, Instrument, Placement, Station, Village
from tests.village import STATIONS, places

JSON = "application/json"
FOUNDED = datetime(2020, 1, 1, tzinfo=UTC)

SPOKEN = {
    "air_temperature": ("t", "Cel", 0.1),
    "relative_humidity": ("rh", "%", 1.0),
    "station_pressure": ("p", "hPa", 0.1),
    "wind_speed": ("wind", "m/s", 0.1),
    "wind_gust": ("gust", "m/s", 0.1),
    "wind_from_direction": ("dir", "deg", 1.0),
    "rain_amount": ("rain", "mm", 0.2),
    "irradiance": ("sun", "W/m2", 1.0),
    "surface_wetness": ("wet", "%", 1.0),
}
"""Variable: the channel's name, the unit it sends, and its resolution in that unit."""

FROM_CANONICAL = {"Cel": (1.0, -273.15), "%": (100.0, 0.0), "hPa": (0.01, 0.0)}
"""Unit: the factor and offset that carry a canonical value to it, by hand."""

Observation = dict[str, float]


@dataclass(frozen=True)
class Report:
    """What one station sends in one request: observations with their times [UTC epoch s]."""

    station: int
    observations: tuple[Observation, ...]

    @property
    def body(self) -> bytes:
        return json.dumps(list(self.observations)).encode()

    @property
    def received_at(self) -> float:
        """Just after the last of them; with absolute times nothing depends on it."""
        return max(one["time"] for one in self.observations) + 5.0


def found_village(zone: str = "Europe/Zurich", name: str = "Little Aldenbrook") -> Village:
    """An empty village whose map reaches over the invented relief."""
    return Village.objects.create(
        name=name,
        slug=name.lower().replace(" ", "-"),
        zone=zone,
        south=47.303,
        north=47.321,
        west=8.897,
        east=8.931,
        weather_service="your national weather service",
        weather_service_link="https://worldweather.wmo.int/",
    )


def settle_station(
    village: Village,
    name: str,
    variables: Sequence[str] = ("air_temperature",),
    *,
    place: tuple[float, float, float] | None = None,
    report_every: int = 300,
) -> Station:
    """A live station with an instrument and a channel for each variable, by default the next place's."""
    index = Station.objects.of(village).count()
    latitude, longitude, elevation = place or (
        float(STATIONS.latitude[index]),
        float(STATIONS.longitude[index]),
        float(STATIONS.elevation[index]),
    )
    household = Household.objects.create(village=village, name=name)
    station = Station.objects.create(
        household=household,
        name=name,
        state=Station.State.LIVE,
        counts_from=FOUNDED,
        report_every=report_every,
    )
    Placement.objects.create(
        station=station, latitude=latitude, longitude=longitude, elevation=elevation, begins_at=FOUNDED
    )
    for variable in variables:
        channel(station, variable)
    return station


def channel(station: Station, variable: str, unit: str = "", **instrument: object) -> Channel:
    """One more instrument of a station and the channel that speaks for it."""
    name, usual, step = SPOKEN.get(variable, (variable, "", 0.0))
    if step and not unit:
        instrument = {"resolution": step / FROM_CANONICAL.get(usual, (1.0, 0.0))[0]} | instrument
    fitted = Instrument.objects.create(station=station, variable=variable, begins_at=FOUNDED, **instrument)
    return Channel.objects.create(
        station=station, instrument=fitted, name=name, unit=unit or usual, begins_at=FOUNDED
    )


def make_village(
    stations: int = 4,
    variables: Sequence[str] = ("air_temperature", "relative_humidity", "station_pressure", "rain_amount"),
    report_every: int = 300,
) -> Village:
    """A village whose stations stand at the first of the known places and measure the same."""
    village = found_village()
    for name in NAMES[:stations]:
        settle_station(village, name, variables, report_every=report_every)
    return village


NAMES = ("Brook", "Mill", "Green", "Orchard", "School", "Lane", "Bank", "Hill", "Ridge", "Wood")


def observations(
    station: Station, seconds: NDArray[np.int64], changed: Mapping[str, NDArray[np.float64]] | None = None
) -> list[Observation]:
    """What an honest board finds at the times (t,), in the units it sends; ``changed`` by channel, (t,)."""
    placement = station.placements.first()
    ground = places(0.0, 0.0)
    truth = type(ground)(
        np.array([placement.latitude]), np.array([placement.longitude]), np.array([placement.elevation])
    ).truth(seconds)
    said = {}
    for one in Channel.objects.filter(station=station).select_related("instrument"):
        variable = one.instrument.variable
        _, unit, resolution = SPOKEN[variable]
        factor, offset = FROM_CANONICAL.get(unit, (1.0, 0.0))
        value = truth[variable][0] * factor + offset
        said[one.name] = np.round(np.round(value / resolution) * resolution, 4)
    said |= changed or {}
    return [
        {"time": int(at)}
        | {name: float(values[i]) for name, values in said.items() if np.isfinite(values[i])}
        for i, at in enumerate(seconds)
    ]


def deliver(reports: Iterable[Report]) -> None:
    """Hand reports to the hub, each as one request would."""
    senders: dict[int, Sender] = {}
    for report in reports:
        if report.station not in senders:
            senders[report.station] = Sender.of(Station.objects.get(pk=report.station))
        answer = receive(senders[report.station], report.body, JSON, report.received_at)
        assert isinstance(answer, Receipt), answer


def one_by_one(station: Station, said: Iterable[Observation]) -> list[Report]:
    """A report for each observation."""
    return [Report(station.pk, (one,)) for one in said]
