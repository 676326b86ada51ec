"""The CSV of a station: units in the header, a verdict and reasons for each reading, safe in a spreadsheet."""

import csv
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from django.test import Client

from network.pipeline.settle import settle
from network.web.download import safe
from stations.models import Instrument, Station
from tests.network.made_village import Report, deliver, found_village, settle_station

ZONE = ZoneInfo("Europe/Zurich")
MIDNIGHT = int(datetime(2025, 6, 1, tzinfo=ZONE).timestamp())


@pytest.fixture
def station(db: None) -> Station:
    """One that read 10 °C all of 1 June in the village, and 0 °C, where its range ends, for its last hour."""
    made = settle_station(found_village(), "=SUM(A1)", ("air_temperature", "rain_amount"))
    Instrument.objects.filter(station=made, variable="air_temperature").update(
        range_low=273.15, range_high=323.15, resolution=0.1
    )
    seconds = MIDNIGHT + 300 * np.arange(-11, 301)
    said = [
        {"time": int(at), "t": 0.0 if at > MIDNIGHT + 82800 else 10.0 + 0.1 * (at // 300 % 3), "rain": 0.2}
        for at in seconds
    ]
    deliver([Report(made.pk, tuple(said))])
    settle()
    return made


def rows(station: Station, **query: str) -> list[dict[str, str]]:
    answer = Client().get(f"/{station.village.slug}/stations/{station.pk}/download.csv", query)
    assert answer.status_code == 200 and answer.streaming
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    text = b"".join(answer.streaming_content).decode()
    return list(csv.DictReader(text.splitlines()))


def test_a_day_is_the_villages_and_its_header_names_the_units(station: Station) -> None:
    found = rows(station, **{"from": "2025-06-01", "to": "2025-06-01"})
    assert list(found[0]) == [
        "station", "observed_at (UTC, end of period)",
        "air_temperature [Cel]", "air_temperature_verdict", "air_temperature_reasons",
        "rain_amount [mm]", "rain_amount_verdict", "rain_amount_reasons",
    ]  # fmt: skip
    assert len(found) == 288
    # Switzerland is two hours ahead of UTC in June: its day begins at 22:00, and the first period ends at 22:05.
    times = [row["observed_at (UTC, end of period)"] for row in found]
    assert (times[0], times[-1]) == ("2025-05-31T22:05:00Z", "2025-06-01T22:00:00Z")


def test_every_reading_comes_with_its_verdict_and_reasons(station: Station) -> None:
    found = rows(station, **{"from": "2025-06-01", "to": "2025-06-01"})
    assert {row["air_temperature_verdict"] for row in found[:276]} == {"good"}
    assert {row["air_temperature_verdict"] for row in found[276:]} == {"wrong"}
    assert all("range_end" in row["air_temperature_reasons"].split("; ") for row in found[276:])
    assert float(found[-1]["air_temperature [Cel]"]) == 0.0
    assert sum(float(row["rain_amount [mm]"]) for row in found) == pytest.approx(288 * 0.2, abs=0.01)


def test_no_cell_is_a_formula(station: Station) -> None:
    assert rows(station, **{"from": "2025-06-01", "to": "2025-06-01"})[0]["station"] == "'=SUM(A1)"
    # The openings that OWASP names for CSV injection (from memory).
    for opening in "=+-@\t\r":
        assert safe(f"{opening}1").startswith("'")
    assert safe("Mill End") == "Mill End"


def test_without_days_the_last_seven_are_meant(station: Station) -> None:
    assert rows(station) == []  # June 2025 is past
    days = {row["observed_at (UTC, end of period)"][:10] for row in rows(station, to="2025-06-02")}
    assert days == {"2025-05-31", "2025-06-01"}  # the readings run to one o'clock in the night of the 2nd


@pytest.mark.parametrize("query", [{"from": "June"}, {"from": "2025-06-02", "to": "2025-06-01"}])
def test_days_that_cannot_be_are_not_found(station: Station, query: dict[str, str]) -> None:
    answer = Client().get(f"/{station.village.slug}/stations/{station.pk}/download.csv", query)
    assert answer.status_code == 404


def test_nobody_downloads_what_is_not_public(station: Station) -> None:
    Station.objects.filter(pk=station.pk).update(state="draft", counts_from=None)
    answer = Client().get(f"/{station.village.slug}/stations/{station.pk}/download.csv")
    assert answer.status_code == 404
