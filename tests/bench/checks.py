"""The whole suite of checks in the pipeline, from observations in the database to verdicts and findings."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import ModuleType
from unittest.mock import patch

import numpy as np
from django.db import transaction

from network.models import Observation, Work
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, insert, single
from network.pipeline.ledger import work
from network.pipeline.stages import STAGES
from network.quality import register
from network.quality.verdict import MISSING, UNCHECKED
from network.science.moisture import dew_point
from network.science.variables import VARIABLES
from stations.models import Village
from tests.bench.figure import Figure
from tests.network.made_village import SPOKEN, found_village, settle_station
from tests.village import Places, five_minutes, places

STATIONS, DAYS = 20, 30

CHECKING = (Work.Stage.CHECK, Work.Stage.LONG_RUN)
"""What is timed. Comparing lies between the two and is done, but belongs to no check; the rest is left."""


def measure(database: str) -> Iterator[Figure]:
    """Seconds for 20 stations over 30 days, how many of them pass in the checks themselves, and how they grow from half
    the stations and from half the days."""
    with _timed(register) as engine:
        whole = _seconds(_village("Whole", STATIONS, DAYS))
    fewer = _seconds(_village("Fewer", STATIONS // 2, DAYS))
    shorter = _seconds(_village("Shorter", STATIONS, DAYS // 2))
    yield Figure("checks_pipeline", whole, "s", None, None, "<= 15")
    yield Figure("checks_engine", sum(engine), "s", None, None, "<= 2")
    yield Figure("checks_by_stations", whole, "s", fewer, whole / fewer, "ratio <= 2.2")
    yield Figure("checks_by_days", whole, "s", shorter, whole / shorter, "ratio <= 2.2")


def _village(name: str, stations: int, days: int) -> Village:
    """Stations of nine variables whose observations stand in the database unchecked."""
    village = found_village(name=name)
    random = np.random.default_rng(5)
    where = places(random.uniform(-1200, 1200, stations), random.uniform(-950, 950, stations))
    seconds = five_minutes("2026-05-01", days)
    with transaction.atomic():
        for i in range(stations):
            one = Places(where.latitude[[i]], where.longitude[[i]], where.elevation[[i]])
            place = (float(one.latitude[0]), float(one.longitude[0]), float(one.elevation[0]))
            station = settle_station(village, f"{name} {i}", tuple(SPOKEN), place=place)
            insert(Observation, _rows(station.pk, seconds, one, np.random.default_rng(i)))
    Work.objects.filter(village=village).delete()
    work.mark_observations(village.pk, int(seconds[0]), int(seconds[-1]))
    return village


def _rows(station: int, seconds: np.ndarray, where: Places, random: np.random.Generator) -> Rows:
    """The truth with a quarter of the instruments' error on it, as normalising and deriving would leave it."""
    said = {name: values[0] for name, values in where.truth(seconds).items()}
    reduction = said["sea_level_pressure"] / said["station_pressure"]
    for name in ("air_temperature", "relative_humidity", "station_pressure"):
        said[name] = said[name] + random.normal(0.0, VARIABLES[name].accuracy / 4, said[name].shape)
    said["relative_humidity"] = np.minimum(said["relative_humidity"], 1.0)
    said["dew_point"] = dew_point(said["air_temperature"], said["relative_humidity"])
    said["sea_level_pressure"] = said["station_pressure"] * reduction
    columns = {"said_twice": np.zeros(len(seconds))} | {
        name: np.full(len(seconds), np.nan) for name in (*VALUES, *MARKS)
    }
    for name in (*SPOKEN, "dew_point", "sea_level_pressure"):
        columns[name] = single(said[name])
        columns[f"{name}_mark"] = np.where(np.isfinite(said[name]), UNCHECKED, MISSING)
    return Rows(np.full(len(seconds), station), seconds, columns)


@contextmanager
def _timed(module: ModuleType) -> Iterator[list[float]]:
    """How long each call of the module's functions took, from without [s]."""
    spent: list[float] = []

    def timed(function: Callable[..., object]) -> Callable[..., object]:
        def call(*args: object, **kwargs: object) -> object:
            began = time.perf_counter()
            try:
                return function(*args, **kwargs)
            finally:
                spent.append(time.perf_counter() - began)

        return call

    own = {
        name: one for name, one in vars(module).items() if getattr(one, "__module__", "") == module.__name__
    }
    with patch.multiple(module, **{name: timed(one) for name, one in own.items()}):
        yield spent


def _seconds(village: Village) -> float:
    """What the stages of checking take, everything that is due being done."""
    spent = 0.0
    while True:
        Work.objects.exclude(stage__in=(*CHECKING, Work.Stage.COMPARE)).delete()
        began = time.perf_counter()
        piece = work.do_next(STAGES, village.pk)
        if piece is not None and piece.stage in CHECKING:
            spent += time.perf_counter() - began
        if piece is None and not work.hurry(village.pk):
            return spent
