"""A morning of four stations, settled once; one of them read nonsense for ten minutes."""

from collections.abc import Iterator

import numpy as np
import pytest
from django.core.cache import cache
from django.db import transaction
from django.test import Client

from network.pipeline.settle import settle
from stations.models import Station, Village
from tests.network.made_village import deliver, make_village, observations, one_by_one
from tests.village import five_minutes

VARIABLES = ("air_temperature", "relative_humidity", "rain_amount", "wind_speed", "wind_from_direction")
TIMES = five_minutes("2024-05-14T06:00:00", 6 / 24)
NOON = "2024-05-14T12:00:00Z"
MORNING = {"from": "2024-05-14T06:00:00Z", "to": NOON}
SPOILT = "2024-05-14T11:00:00Z"
NONSENSE = 80.0  # °C, sent twice: at 10:55 and at 11:00 UTC


@pytest.fixture(scope="module")
def village(django_db_setup: None, django_db_blocker: object) -> Iterator[Village]:
    with django_db_blocker.unblock(), transaction.atomic():
        made = make_village(4, VARIABLES)
        for number, station in enumerate(Station.objects.of(made).order_by("pk")):
            said = observations(station, TIMES, _spoilt(station) if number == 1 else None)
            deliver(one_by_one(station, said))
        settle()
        yield made
        transaction.set_rollback(True)


def _spoilt(station: Station) -> dict[str, np.ndarray]:
    temperature = np.array([one["t"] for one in observations(station, TIMES)])
    temperature[-14:-12] = NONSENSE
    return {"t": temperature}


@pytest.fixture
def stations(village: Village, db: None) -> list[Station]:
    return list(Station.objects.of(village).order_by("pk"))


@pytest.fixture
def reader(stations: list[Station]) -> Iterator[Client]:
    cache.clear()  # counts of questions
    yield Client()
    cache.clear()
