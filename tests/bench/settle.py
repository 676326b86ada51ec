"""Settling: a month of a village from its reports to maps and cases, and what a reading then takes on disk."""

import json
from collections.abc import Callable, Iterator

import numpy as np
from django.db import connection, transaction
from django.db.models import Count
from tqdm import tqdm

from network.models import Observation, Report
from network.models.observation import VALUES
from network.pipeline.rebuild import forget
from network.pipeline.settle import settle
from stations.models import Station, Village
from tests.bench.figure import Figure, seconds
from tests.network.made_village import JSON, SPOKEN, found_village, observations, settle_station
from tests.village import five_minutes, places

STATIONS, DAYS = 10, 30


def measure(database: str) -> Iterator[Figure]:
    """Seconds for 30 days against 15, one report for each observation; bytes on disk for a reading."""
    if database == "sqlite":
        fortnight, month = (_village(name, days) for name, days in (("Half", DAYS // 2), ("Whole", DAYS)))
        reference, value = _settled(fortnight), _settled(month)
        yield Figure("settle_month", value, "s", reference, value / reference, "<= 90, ratio <= 2.2")
        yield _bytes("bytes_per_reading", _size_on_sqlite)
    else:
        _settled(_village("Week", 4))
        yield _bytes("bytes_per_reading_postgresql", _size_on_postgresql)


def _village(name: str, days: int) -> Village:
    """Ten stations of nine variables and all their reports, marked to be worked through."""
    village = found_village(name=name)
    random = np.random.default_rng(5)
    where = places(random.uniform(-1200, 1200, STATIONS), random.uniform(-950, 950, STATIONS))
    times = five_minutes("2026-05-01", days)
    for i in tqdm(range(STATIONS), desc=f"reports of {days} days", delay=2, leave=False):
        place = (float(where.latitude[i]), float(where.longitude[i]), float(where.elevation[i]))
        station = settle_station(village, f"{name} {i}", tuple(SPOKEN), place=place)
        _keep_reports(station, observations(station, times))
    forget(village)
    return village


def _keep_reports(station: Station, said: list[dict[str, float]]) -> None:
    """Stored as receiving stores them; receiving itself is measured elsewhere."""
    with transaction.atomic():
        for one in said:
            at, body = one["time"], json.dumps(one).encode()
            Report.keep(station.pk, at + 5.0, JSON, body, f"{station.pk}:{at}", at, at, "")


def _settled(village: Village) -> float:
    with tqdm(desc=f"settling {village}", delay=2, leave=False) as bar:

        def progress(done: int, left: int) -> None:
            bar.total, bar.n = done + left, done
            bar.refresh()

        return seconds(lambda: settle(village.pk, progress))


def _bytes(name: str, size: Callable[[], int]) -> Figure:
    """Of the observations' table and its index, for every value that is there."""
    readings = Observation.objects.aggregate(**{f"known_{name}": Count(name) for name in VALUES})
    each = size() / sum(readings.values())
    return Figure(name, each, "bytes", 8.0, each / 8.0, "<= 20")


def _size_on_sqlite() -> int:
    """By the pages the file loses when the table is dropped; nothing else is dropped with it."""
    with connection.cursor() as cursor:
        counted = []
        for statement in ("SELECT 1", "DROP TABLE network_observation"):
            cursor.execute(statement)
            pages, free, size = (
                cursor.execute(f"PRAGMA {what}").fetchone()[0]
                for what in ("page_count", "freelist_count", "page_size")
            )
            counted.append((pages - free) * size)
    return counted[0] - counted[1]


def _size_on_postgresql() -> int:
    """At rest: each row is written twice, and a vacuum hands the space of the first to rows that come later."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM FULL network_observation")
        cursor.execute("SELECT pg_total_relation_size('network_observation')")
        return int(cursor.fetchone()[0])
