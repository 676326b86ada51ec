"""Storage: rows written and read by the pipeline against the barest way the database has."""

from collections.abc import Iterator

import numpy as np
from django.db import connection, transaction

from network.models import Observation
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, insert, read, single
from stations.models import Station
from tests.bench.figure import Figure, taking_turns, timed
from tests.network.made_village import make_village

ROUNDS = 9
COLUMNS = ("said_twice", *VALUES, *MARKS)
YEAR = 365 * 288


def measure(database: str) -> Iterator[Figure]:
    """Rows a second in bulk; on SQLite also a day and a year of one variable as arrays."""
    station = Station.objects.of(make_village(1)).get()
    yield _bulk(database, station)
    if database == "sqlite":
        yield from _reading(station)


def _bulk(database: str, station: Station) -> Figure:
    rows = _made(station, 20_000)
    table = np.column_stack([rows.station, rows.at, rows.matrix()]).tolist()
    whole = {0, 1, *(i + 2 for i, name in enumerate(COLUMNS) if name == "said_twice" or name in MARKS)}
    ready = [
        tuple(None if v != v else int(v) if i in whole else v for i, v in enumerate(row)) for row in table
    ]
    names = ", ".join(["station_id", "observed_at", *COLUMNS])

    def ours() -> None:
        with transaction.atomic():
            insert(Observation, rows)

    def reference() -> None:
        with transaction.atomic(), connection.cursor() as cursor:
            if database == "postgresql":
                with cursor.copy(f"COPY network_observation ({names}) FROM STDIN") as copy:
                    for row in ready:
                        copy.write_row(row)
            else:
                places = ", ".join(["%s"] * (len(COLUMNS) + 2))
                cursor.executemany(f"INSERT INTO network_observation ({names}) VALUES ({places})", ready)

    def emptied(write):
        def run() -> float:
            with connection.cursor() as cursor:
                cursor.execute("DELETE FROM network_observation")
            return len(rows) / timed(write)()

        return run

    value, bar, ratio = taking_turns(f"store_bulk_{database}", ROUNDS, emptied(ours), emptied(reference))
    return Figure(f"store_bulk_{database}", value, "rows/s", bar, ratio, ">= 0.50")


def _reading(station: Station) -> Iterator[Figure]:
    Observation.objects.all().delete()
    rows = _made(station, YEAR)
    with transaction.atomic():
        insert(Observation, rows)
    wanted = ("air_temperature", "air_temperature_mark")
    query = f"SELECT observed_at, {', '.join(wanted)} FROM network_observation WHERE station_id = %s AND observed_at >= %s AND observed_at < %s ORDER BY observed_at"

    for name, count, times in (("read_day", 288, 40), ("read_year", YEAR, 1)):
        begins_at = int(rows.at[-count])
        ends_at = int(rows.at[-1]) + 1

        def ours(begins_at: int = begins_at, ends_at: int = ends_at) -> None:
            read(Observation, [station.pk], begins_at, ends_at, wanted)

        def reference(begins_at: int = begins_at, ends_at: int = ends_at) -> None:
            with connection.cursor() as cursor:
                cursor.execute(query, [station.pk, begins_at, ends_at])
                cursor.fetchall()

        value, bar, ratio = taking_turns(name, 9, timed(ours, times), timed(reference, times))
        yield Figure(name, value * 1e3, "ms", bar * 1e3, ratio, "<= 1.5")


def _made(station: Station, count: int) -> Rows:
    """Rows as the pipeline writes them: nine variables and the two derived, all with their marks."""
    random, at = np.random.default_rng(1), 1_735_689_600 + 300 * np.arange(count, dtype=np.int64)
    columns = {"said_twice": np.zeros(count)}
    for name in VALUES:
        known = name not in ("battery_voltage", "light_level")
        columns[name] = single(random.normal(280, 5, count)) if known else np.full(count, np.nan)
    for name in VALUES:
        doubtful = np.where(random.random(count) < 0.02, 1026.0, 0.0)
        columns[f"{name}_mark"] = np.where(np.isfinite(columns[name]), doubtful, np.nan)
    return Rows(np.full(count, station.pk, np.int64), at, columns)
