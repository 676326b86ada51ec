"""A village whose stations are honest but for those told otherwise, from reports to settled cases."""

from collections.abc import Callable

import numpy as np
from django.contrib.auth.models import User

from network.models import Case, Observation
from network.models.storage import read
from network.pipeline.settle import settle
from stations.models import Membership, Station, Village
from tests.network.made_village import Report, deliver, make_village, observations
from tests.village import five_minutes

EVERY = 600
TIMES = five_minutes("2026-03-27", 1)[1::2]
Say = Callable[[float], float]


def fahrenheit(celsius: float) -> float:
    return celsius * 1.8 + 32


def reads_high(celsius: float) -> float:
    return celsius + 8.0


def doubted_village(
    mill: Say, variables: tuple[str, ...] = ("air_temperature",), stations: int = 5, clock_ahead: int = 0
) -> Village:
    """A day of a village, settled; the thermometer of the station Mill says ``mill`` of the true Celsius.

    The Mill's clock is ``clock_ahead`` [s] of the true time.
    """
    village = make_village(stations, variables, report_every=EVERY)
    for station in Station.objects.of(village):
        said = observations(station, TIMES)
        if station.name == "Mill":
            for one in said:
                one["t"] = round(mill(one["t"]), 1)
                one["time"] += clock_ahead
        deliver([Report(station.pk, tuple(said))])
    settle()
    return village


def the_mill() -> Station:
    return Station.objects.get(name="Mill")


def the_case(variable: str = "air_temperature") -> Case:
    return Case.objects.select_related("station__household__village").get(
        station__name="Mill", variable=variable
    )


def steward_of(village: Village, name: str = "stella") -> User:
    """The village's steward, at home in its first household."""
    person = User.objects.create_user(name, f"{name}@example.org")
    household = village.households.order_by("pk").first()
    Membership.objects.create(household=household, person=person, role=Membership.Role.STEWARD)
    return person


def celsius(station: Station, variable: str = "air_temperature") -> np.ndarray:
    """What the hub holds of a station's day, in degrees Celsius."""
    return rows(station, variable) - 273.15


def verdicts(station: Station, variable: str = "air_temperature") -> set[int]:
    """Every verdict the hub has given of a station's day."""
    return set((rows(station, f"{variable}_mark").astype(np.int64) & 7).tolist())


def rows(station: Station, column: str) -> np.ndarray:
    return read(Observation, [station.pk], int(TIMES[0]), int(TIMES[-1]) + 1, (column,)).columns[column]


def truth(station: Station) -> np.ndarray:
    """What an honest thermometer in its place would have said, in degrees Celsius."""
    return np.array([one["t"] for one in observations(station, TIMES)])
