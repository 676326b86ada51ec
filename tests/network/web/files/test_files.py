"""Files to take away, read back with the libraries their readers use, and held against the CF conventions."""

import json
import subprocess
import sys
from datetime import datetime
from io import BytesIO
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pyarrow.parquet as pq
import pytest
import xarray as xr
from django.test import Client

from network.pipeline.settle import settle
from stations.models import Instrument, Placement, Station
from tests.network.made_village import Report, deliver, found_village, settle_station

ZONE = ZoneInfo("Europe/Zurich")
MIDNIGHT = int(datetime(2025, 6, 1, tzinfo=ZONE).timestamp())
DAY = {"from": "2025-06-01", "to": "2025-06-01"}


@pytest.fixture
def station(db: None) -> Station:
    """One that read about 10 °C all of 1 June, and 0 °C, where its range ends, for its last hour; 0.2 mm a report."""
    made = settle_station(found_village(), "Green", ("air_temperature", "rain_amount"))
    Instrument.objects.filter(station=made, variable="air_temperature").update(
        range_low=273.15, range_high=323.15, resolution=0.1, accuracy=0.3
    )
    seconds = MIDNIGHT + 300 * np.arange(1, 289)
    said = [
        {"time": int(at), "t": 0.0 if at > MIDNIGHT + 82800 else 10.0 + 0.1 * (at // 300 % 3), "rain": 0.2}
        for at in seconds
    ]
    deliver([Report(made.pk, tuple(said))])
    settle()
    return made


def fetched(station: Station, ending: str, **query: str) -> bytes:
    answer = Client().get(f"/{station.village.slug}/stations/{station.pk}/download.{ending}", query or DAY)
    assert answer.status_code == 200
    assert f"green-{(query or DAY)['from']}" in answer["Content-Disposition"]
    return b"".join(answer.streaming_content)


def test_parquet_holds_values_verdicts_and_reasons_as_pandas_reads_them(station: Station) -> None:
    table = pd.read_parquet(BytesIO(fetched(station, "parquet")))
    assert len(table) == 288
    assert table["observed_at"].iloc[-1] == pd.Timestamp("2025-06-01T22:00Z")
    assert table["air_temperature"].iloc[0] == pytest.approx(10.1, abs=0.11)
    assert set(table["air_temperature_verdict"][:276]) == {"good"}
    assert set(table["air_temperature_verdict"][276:]) == {"wrong"}
    assert all("range_end" in reasons for reasons in table["air_temperature_reasons"][276:])
    assert table["rain_amount"].sum() == pytest.approx(288 * 0.2, abs=0.01)


def test_parquet_tells_units_and_origin_in_its_metadata(station: Station) -> None:
    schema = pq.read_schema(BytesIO(fetched(station, "parquet")))
    assert schema.field("air_temperature").metadata[b"unit"] == b"Cel"
    told = json.loads(schema.metadata[b"origin"])
    assert told["station"] == "Green" and told["instruments"][0]["accuracy"] == 0.3


def test_netcdf_holds_canonical_units_and_flags_as_xarray_reads_them(
    station: Station, tmp_path: Path
) -> None:
    found = xr.open_dataset(BytesIO(fetched(station, "nc")), engine="h5netcdf")
    assert found.attrs["featureType"] == "timeSeries"
    warmth = found["air_temperature"]
    # Canonical units after the CF standard name table: kelvin, and metres for a thickness of rain.
    assert (warmth.attrs["units"], found["rain_amount"].attrs["units"]) == ("K", "m")
    assert warmth.attrs["standard_name"] == "air_temperature"
    assert float(found["rain_amount"].sum()) == pytest.approx(288 * 0.0002, abs=1e-5)
    verdict = found["air_temperature_verdict"]
    named = dict(zip(verdict.attrs["flag_meanings"].split(), verdict.attrs["flag_values"], strict=True))
    assert (verdict[:276] == named["good"]).all() and (verdict[276:] == named["wrong"]).all()
    why = found["air_temperature_reasons"]
    masks = dict(zip(why.attrs["flag_meanings"].split(), why.attrs["flag_masks"].tolist(), strict=True))
    assert (why[276:] & masks["range_end"] != 0).all() and (why[:276] == 0).all()
    assert warmth.attrs["ancillary_variables"].split() == [verdict.name, why.name]
    assert str(found["time"].values[-1])[:16] == "2025-06-01T22:00"


def test_netcdf_keeps_the_cf_conventions(station: Station, tmp_path: Path) -> None:
    file = tmp_path / "green.nc"
    file.write_bytes(fetched(station, "nc"))
    # The IOOS compliance checker, which holds a file against CF 1.11 and its table of standard names.
    program = Path(sys.executable).parent / "compliance-checker"
    looked = subprocess.run([program, "-t", "cf:1.11", file], capture_output=True, text=True)
    assert "All tests passed!" in looked.stdout, looked.stdout


@pytest.mark.parametrize("ending", ["parquet", "nc"])
def test_days_without_a_reading_make_an_empty_file(station: Station, ending: str) -> None:
    made = BytesIO(fetched(station, ending, **{"from": "2025-05-01", "to": "2025-05-02"}))
    if ending == "parquet":
        assert len(pd.read_parquet(made)) == 0
    else:
        assert xr.open_dataset(made, engine="h5netcdf").sizes["time"] == 0


def test_a_rounded_place_is_rounded_in_every_file_also_for_its_keeper(station: Station) -> None:
    exact = Placement.objects.get(station=station)
    assert station.shown == Station.Shown.ROUNDED
    found = xr.open_dataset(BytesIO(fetched(station, "nc")), engine="h5netcdf")
    assert float(found["lat"]) == pytest.approx(exact.latitude, abs=0.00101)
    assert float(found["lat"]) != exact.latitude and float(found["alt"]) % 5 == 0
    sheet = Client().get(f"/{station.village.slug}/stations/{station.pk}/sheet/", DAY).content.decode()
    assert f"{exact.latitude}" not in sheet


def test_a_hidden_place_is_in_no_file(station: Station) -> None:
    Station.objects.filter(pk=station.pk).update(shown=Station.Shown.HIDDEN)
    exact = Placement.objects.get(station=station)
    found = xr.open_dataset(BytesIO(fetched(station, "nc")), engine="h5netcdf")
    assert (float(found["lat"]), float(found["lon"])) == pytest.approx(station.village.centre)
    assert "alt" not in found and "not shown" in found["lat"].attrs["comment"]
    for whole in (fetched(station, "parquet"), found.attrs["origin"].encode()):
        assert str(exact.latitude).encode() not in whole and str(exact.elevation).encode() not in whole
    sheet = Client().get(f"/{station.village.slug}/stations/{station.pk}/sheet/", DAY).content.decode()
    assert "does not show where it stands" in sheet


def test_the_data_sheet_says_where_the_readings_came_from(station: Station) -> None:
    sheet = Client().get(f"/{station.village.slug}/stations/{station.pk}/sheet/", DAY).content.decode()
    for promised in (
        "Green",
        "Little Aldenbrook",
        "air_temperature",
        "end of the period",
        "ask the household",
        "Checks",
    ):
        assert promised in sheet


@pytest.mark.parametrize(
    "query",
    [{"from": "2025-06-02", "to": "2025-06-01"}, {"from": "2023-01-01", "to": "2025-06-01"}, {"from": "x"}],
)
def test_days_that_cannot_be_and_spans_beyond_a_year_are_refused(
    station: Station, query: dict[str, str]
) -> None:
    for ending in ("parquet", "nc"):
        address = f"/{station.village.slug}/stations/{station.pk}/download.{ending}"
        assert Client().get(address, query).status_code == 404


def test_nobody_takes_away_what_is_not_public(station: Station) -> None:
    Station.objects.filter(pk=station.pk).update(state="draft", counts_from=None)
    for last in ("download.parquet", "download.nc", "sheet/"):
        assert Client().get(f"/{station.village.slug}/stations/{station.pk}/{last}", DAY).status_code == 404
