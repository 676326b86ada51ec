"""The chart of any span: columns that lose no extreme and hide no doubt, and what its page promises."""

import json
import re
from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from django.test import Client

from network.models import Observation
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, insert
from network.quality.verdict import DOUBTFUL, GOOD, WRONG
from network.web.chart_columns import ROOM, columns
from stations.models import Station
from tests.network.made_village import found_village, settle_station

ZONE = ZoneInfo("Europe/Zurich")
BEGINS = int(datetime(2024, 1, 1, tzinfo=ZONE).timestamp())
ENDS = int(datetime(2025, 1, 1, tzinfo=ZONE).timestamp())
AT = np.arange(BEGINS + 300, ENDS + 1, 300, dtype=np.int64)
JULY_14 = int(datetime(2024, 7, 14, 15, tzinfo=ZONE).timestamp())
WARMEST = int(np.searchsorted(AT, JULY_14))


@pytest.fixture
def station(db: None) -> Station:
    """A year of 10 °C every five minutes; one reading of 35 °C in July, a wrong one in March, a gap in May."""
    made = settle_station(found_village(), "Green", ("air_temperature", "rain_amount", "wind_from_direction"))
    table = {name: np.full(len(AT), np.nan) for name in (*VALUES, *MARKS, "said_twice")}
    table["said_twice"][:] = 0
    for name, value in (("air_temperature", 283.15), ("rain_amount", 0.001), ("wind_from_direction", 350.0)):
        table[name][:], table[f"{name}_mark"][:] = value, GOOD
    table["air_temperature"][WARMEST] = 308.15
    table["wind_from_direction"][::2] = 10.0
    table["air_temperature"][20000], table["air_temperature_mark"][20000] = 400.0, WRONG
    table["air_temperature_mark"][20001] = DOUBTFUL
    spoke = np.ones(len(AT), bool)
    spoke[36000:39000] = False
    insert(Observation, Rows(np.full(len(AT), made.pk), AT, table), spoke)
    return made


def test_a_year_fits_a_picture_and_keeps_its_warmest_five_minutes(station: Station) -> None:
    cut = columns(station.pk, 300, "air_temperature", (BEGINS, ENDS), ZONE)
    assert len(cut.mean) <= ROOM
    assert np.nanmax(cut.high) == pytest.approx(35.0, abs=0.001)
    assert np.nanmin(cut.low) == pytest.approx(10.0, abs=0.001)
    in_july = int((AT[WARMEST] - 1 - BEGINS) // cut.width)
    assert int(np.nanargmax(cut.high)) == in_july


def test_no_doubt_is_hidden_and_no_wrong_reading_is_drawn(station: Station) -> None:
    cut = columns(station.pk, 300, "air_temperature", (BEGINS, ENDS), ZONE)
    assert (cut.wrong.sum(), cut.doubtful.sum()) == (1, 1)
    assert np.nanmax(cut.high) < 100
    assert cut.good.sum() == len(AT) - 3000 - 2


def test_a_gap_stays_a_gap(station: Station) -> None:
    cut = columns(station.pk, 300, "air_temperature", (BEGINS, ENDS), ZONE)
    silent = (cut.middles > AT[36000] + cut.width) & (cut.middles < AT[38999] - cut.width)
    assert silent.any() and np.isnan(cut.mean[silent]).all()


def test_rain_adds_up_over_the_columns(station: Station) -> None:
    cut = columns(station.pk, 300, "rain_amount", (BEGINS, ENDS), ZONE)
    assert np.nansum(cut.mean) == pytest.approx(0.001 * (len(AT) - 3000), rel=1e-4)


def test_directions_are_averaged_on_the_circle(station: Station) -> None:
    cut = columns(station.pk, 300, "wind_from_direction", (BEGINS, ENDS), ZONE)
    # The mean of 350° and 10° is north.
    away = np.minimum(cut.mean % 360, 360 - cut.mean % 360)
    assert np.nanmax(away) < 1


def test_a_short_span_is_drawn_reading_by_reading(station: Station) -> None:
    cut = columns(station.pk, 300, "air_temperature", (BEGINS, BEGINS + 86400), ZONE)
    assert cut.width == 300 and np.isfinite(cut.mean).all()


@pytest.mark.parametrize("variable", ["rain_amount", "wind_from_direction"])
def test_a_day_is_a_column_from_midnight_to_midnight_whatever_the_clock_does(
    station: Station, variable: str
) -> None:
    cut = columns(station.pk, 300, variable, (BEGINS, ENDS), ZONE)
    # Central Europe went to summer time on 31 March 2024 and back on 27 October (directive 2000/84/EC): days of 23 and 25 hours.
    days = (date(2024, 3, 31), date(2024, 7, 14), date(2024, 10, 27), date(2024, 12, 31))
    at = [(day - date(2024, 1, 1)).days for day in days]
    assert len(cut.mean) == 366 and cut.good[at].tolist() == [23 * 12, 24 * 12, 25 * 12, 24 * 12]
    assert {datetime.fromtimestamp(edge, ZONE).hour for edge in cut.edges.tolist()} == {0}
    assert cut.edges[-1] == ENDS and np.isfinite(cut.mean[at]).all()


def page(station: Station, more: str = "air_temperature/?from=2024-01-01&to=2024-12-31") -> str:
    answer = Client().get(f"/{station.village.slug}/stations/{station.pk}/chart/{more}")
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_page_tells_its_readings_its_span_and_the_way_to_take_them(station: Station) -> None:
    made = page(station)
    assert f"{len(AT) - 3000} readings, 2 of them doubted." in made
    assert "download.nc?from=2024-01-01&amp;to=2024-12-31" in made
    told = json.loads(re.search(r'id="reading-off"[^>]*>(.*?)</script>', made, re.DOTALL)[1])  # type: ignore[index]
    assert max(value for value in told["high"] if value is not None) == 35.0
    assert told["unit"] == "°C" and sum(told["doubted"]) == 2
    assert "style=" not in made


def test_a_span_without_readings_has_its_page(station: Station) -> None:
    assert "0 readings" in page(station, "air_temperature/?from=2020-01-01&to=2020-12-31")


@pytest.mark.parametrize(
    "more", ["warmth/", "air_temperature/?from=2024-02-01&to=2024-01-01", "air_temperature/?from=2001-01-01&to=2024-01-01"]
)  # fmt: skip
def test_what_cannot_be_drawn_is_not_found(station: Station, more: str) -> None:
    answer = Client().get(f"/{station.village.slug}/stations/{station.pk}/chart/{more}")
    assert answer.status_code == 404
