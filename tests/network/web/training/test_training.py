"""The table to learn from, read back with pandas: its targets come after, and what is missing is told."""

from collections.abc import Callable
from datetime import datetime
from io import BytesIO
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pyarrow.parquet as pq
import pytest
from django.test import Client

from network.pipeline.settle import settle
from network.web.reader import COOKIE, Reader
from stations.models import Station, Village
from tests.network.made_village import Report, deliver, found_village, settle_station

ZONE = ZoneInfo("Europe/Zurich")
MIDNIGHT = int(datetime(2025, 6, 1, tzinfo=ZONE).timestamp())
DAY = {"from": "2025-06-01", "to": "2025-06-01"}
HOURS = 12


@pytest.fixture
def village(db: None) -> Village:
    """Twelve hours of two stations: Green has 2.4 mm in the sixth hour, Mill is dry and silent for the eighth; a draft."""
    found = found_village()
    for name in ("Green", "Mill", "Draft"):
        made = settle_station(found, name, ("air_temperature", "rain_amount"))
        seconds = MIDNIGHT + 300 * np.arange(1, HOURS * 12 + 1)
        hour = (seconds - MIDNIGHT - 1) // 3600
        if name == "Mill":
            seconds, hour = seconds[hour != 7], hour[hour != 7]
        said = [
            {"time": int(at), "t": 10.0 + 0.1 * (at // 300 % 3), "rain": 0.2 if (name, of) == ("Green", 5) else 0.0}
            for at, of in zip(seconds.tolist(), hour.tolist(), strict=True)
        ]  # fmt: skip
        deliver([Report(made.pk, tuple(said))])
    settle()
    Station.objects.filter(name="Draft").update(state=Station.State.DRAFT, counts_from=None)
    return found


def fetched(village: Village, ending: str, client: Client | None = None) -> bytes:
    answer = (client or Client()).get(f"/{village.slug}/record/training.{ending}", DAY)
    assert answer.status_code == 200
    return b"".join(answer.streaming_content)


def from_parquet(village: Village) -> pd.DataFrame:
    return pd.read_parquet(BytesIO(fetched(village, "parquet")))


def from_csv(village: Village) -> pd.DataFrame:
    table = pd.read_csv(BytesIO(fetched(village, "csv")), parse_dates=["ends_at"])
    return table.rename(columns=lambda name: name.partition(" [")[0])


@pytest.fixture(params=[from_parquet, from_csv])
def table(village: Village, request: pytest.FixtureRequest) -> pd.DataFrame:
    read: Callable[[Village], pd.DataFrame] = request.param
    return read(village)


def of(table: pd.DataFrame, station: str) -> pd.DataFrame:
    own = table[table["station"] == station].reset_index(drop=True)
    return own.astype(dict.fromkeys(own.columns[2:], float))


def test_a_row_is_an_hour_of_a_station_that_counts(table: pd.DataFrame) -> None:
    assert table["station"].value_counts().to_dict() == {"Green": 12, "Mill": 11}
    green = of(table, "Green")
    # Midnight in Zurich in summer is 22:00 UTC.
    assert green["ends_at"].iloc[0] == pd.Timestamp("2025-05-31T23:00Z")
    assert green["air_temperature"].iloc[0] == pytest.approx(10.1, abs=0.01)
    assert (green["air_temperature_good"] == 12).all() and (green["rain_amount_reports"] == 12).all()
    assert green["rain_amount"].round(3).tolist() == [0.0] * 5 + [2.4] + [0.0] * 6


def test_targets_are_of_the_hours_after(table: pd.DataFrame) -> None:
    green = of(table, "Green")
    assert green["rain_next_1h"][:11].round(3).tolist() == [0.0] * 4 + [2.4] + [0.0] * 6
    assert green["rain_next_3h"][:9].round(3).tolist() == [0.0] * 2 + [2.4] * 3 + [0.0] * 4
    assert green["rain_next_6h"][:6].round(3).tolist() == [2.4] * 5 + [0.0]


def test_what_is_missing_is_told_and_is_not_dry(table: pd.DataFrame) -> None:
    mill = of(table, "Mill").set_index("ends_at")
    before = mill.loc[pd.Timestamp("2025-06-01T05:00Z")]  # its seventh hour; the eighth is missing
    assert np.isnan(before["rain_next_1h"]) and before["rain_next_1h_known"] == 0
    assert np.isnan(before["rain_next_3h"]) and before["rain_next_3h_known"] == 2
    last = of(table, "Green").iloc[-1]
    assert np.isnan(last["rain_next_1h"]) and last["rain_next_6h_known"] == 0


def test_the_villages_target_is_the_middle_of_the_gauges_that_know(table: pd.DataFrame) -> None:
    green = of(table, "Green")
    assert (
        green["village_rain_next_1h"][4] == pytest.approx(1.2)
        and green["village_rain_next_1h_gauges"][4] == 2
    )
    assert (
        green["village_rain_next_1h"][6] == pytest.approx(0.0)
        and green["village_rain_next_1h_gauges"][6] == 1
    )


def test_parquet_says_of_each_column_what_it_means(village: Village) -> None:
    schema = pq.read_schema(BytesIO(fetched(village, "parquet")))
    assert all(field.metadata[b"means"] for field in schema)
    assert schema.field("air_temperature").metadata[b"unit"] == b"Cel"
    assert b'"checks"' in schema.metadata[b"origin"]


def test_no_readers_choice_changes_a_file(village: Village) -> None:
    client = Client()
    client.cookies[COOKIE] = Reader(temperature="f", rain="in", language="de").cookie()
    assert fetched(village, "csv", client) == fetched(village, "csv")
    assert fetched(village, "parquet", client) == fetched(village, "parquet")


def test_the_sheet_documents_every_column(village: Village) -> None:
    page = Client().get(f"/{village.slug}/record/training/", DAY).content.decode()
    assert all(f"<code>{name}</code>" in page for name in from_parquet(village).columns)
    assert "2 stations of the village" in page and "hindsight" in page


@pytest.mark.parametrize(
    ("query", "status"),
    [
        ({"from": "2024-01-01", "to": "2024-12-31"}, 200),
        ({"from": "2024-01-01", "to": "2025-01-01"}, 404),
        ({"from": "2025-06-02", "to": "2025-06-01"}, 404),
        ({"from": "June"}, 404),
    ],
)
def test_a_file_holds_a_year_at_most(db: None, query: dict[str, str], status: int) -> None:
    found_village()
    for ending in ("csv", "parquet"):
        answer = Client().get(f"/little-aldenbrook/record/training.{ending}", query)
        assert answer.status_code == status
        if status == 200:
            assert len(b"".join(answer.streaming_content)) > 0
