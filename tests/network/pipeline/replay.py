"""Open data played again through the hub's own door: a village of its stations, a table each, and verdicts."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from io import StringIO
from pathlib import Path

import pandas as pd
from django.core.management import call_command
from django.db import transaction

from network.models import Observation
from network.models.storage import read
from network.pipeline.settle import settle
from network.quality.verdict import DOUBTFUL, MISSING, WRONG, verdict_of
from stations.models import Channel, Household, Instrument, Placement, Station, Village

FOUNDED = datetime(2010, 1, 1, tzinfo=UTC)

Place = tuple[float, float, float]  # latitude, longitude, elevation [m]
Spoken = Mapping[str, tuple[str, str, dict[str, float]]]  # variable: channel, unit, the instrument's figures


@contextmanager
def until_done(django_db_blocker: object) -> Iterator[None]:
    """The test database until the block ends; then as if nothing had been."""
    with django_db_blocker.unblock(), transaction.atomic():  # type: ignore[attr-defined]
        yield
        transaction.set_rollback(True)


def found(name: str, zone: str, places: Mapping[str, Place], spoken: Spoken, every: int) -> Village:
    """A village of live stations that measure alike."""
    latitudes, longitudes, _ = zip(*places.values(), strict=True)
    village = Village.objects.create(
        name=name,
        slug=name.lower().replace(" ", "-"),
        zone=zone,
        south=min(latitudes) - 0.01,
        north=max(latitudes) + 0.01,
        west=min(longitudes) - 0.01,
        east=max(longitudes) + 0.01,
        weather_service="the national weather service",
        weather_service_link="https://worldweather.wmo.int/",
    )
    for station, place in places.items():
        _station(village, station, place, spoken, every)
    return village


def _station(village: Village, name: str, place: Place, spoken: Spoken, every: int) -> None:
    household = Household.objects.create(village=village, name=name)
    station = Station.objects.create(
        household=household, name=name, state=Station.State.LIVE, counts_from=FOUNDED, report_every=every
    )
    latitude, longitude, elevation = place
    Placement.objects.create(
        station=station, latitude=latitude, longitude=longitude, elevation=elevation, begins_at=FOUNDED
    )
    for variable, (channel, unit, figures) in spoken.items():
        instrument = Instrument.objects.create(
            station=station, variable=variable, begins_at=FOUNDED, **figures
        )
        Channel.objects.create(
            station=station, instrument=instrument, name=channel, unit=unit, begins_at=FOUNDED
        )


def take_in(village: Village, tables: Mapping[str, pd.DataFrame], folder: Path, *options: str) -> str:
    """Each station's table, through ``manage.py backfill``; returns what it said."""
    said = StringIO()
    for name, table in tables.items():
        station = Station.objects.of(village).get(name=name)
        file = folder / f"{name}.csv"
        table.to_csv(file, index=False)
        call_command("backfill", str(station.pk), str(file), *options, stdout=said)
    return said.getvalue()


def marks(village: Village, variables: list[str]) -> dict[str, dict[str, pd.Series]]:
    """The mark of every reading that is there, by station and variable, after all work is done."""
    settle(village.pk)
    result = {}
    for station in Station.objects.of(village):
        rows = read(Observation, [station.pk], 0, 1 << 40, [f"{name}_mark" for name in variables])
        times = pd.to_datetime(rows.at, unit="s")
        columns = {name: pd.Series(rows.columns[f"{name}_mark"], index=times) for name in variables}
        result[station.name] = {
            name: column[~(column.fillna(MISSING).astype(int) & 7).eq(MISSING)].astype(int)
            for name, column in columns.items()
        }
    return result


def rates(said: pd.Series) -> tuple[float, float]:
    """The shares of readings that are wrong and doubtful."""
    verdict = verdict_of(said.to_numpy())
    return float((verdict == WRONG).mean()), float((verdict == DOUBTFUL).mean())
