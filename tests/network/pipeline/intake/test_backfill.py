"""manage.py backfill: a look first, then the same door as every report, and never twice."""

from collections.abc import Callable
from io import StringIO
from pathlib import Path

import numpy as np
import pytest
from django.core.management import CommandError, call_command

from network.models import Observation, Report, Work
from network.models.storage import read
from network.pipeline.settle import settle
from stations.models import Station
from tests.network.made_village import make_village

# 32, 50 and 95 °F are 0, 10 and 35 °C; 30 inHg are 1015.92 hPa (30 * 33.86389 hPa, NIST SP 811 at 0 °C).
TABLE = """\
When,temp (°F),baro [inHg],lux,notes
2025-07-01 00:10,50,30,4,fine
2025-07-01 00:00,32,30,5,cold
2025-07-02 12:00,95,29.5,,hot
2025-07-02 12:05,warm,29.5,7,
2025-07-02 12:10
1970-01-01 00:00,50,30,4,clock not set
yesterday,50,30,4,lost
"""
MAP = ["--map", "When=time", "--map", "temp (°F)=t [F]", "--map", "baro [inHg]=p [inHg]", "--map", "notes="]

Backfill = Callable[..., str]


@pytest.fixture
def station(db: None) -> Station:
    return Station.objects.of(make_village(1)).get()


@pytest.fixture
def backfill(station: Station, tmp_path: Path) -> Backfill:
    def run(table: str, *options: str) -> str:
        file, out = tmp_path / "old.csv", StringIO()
        file.write_text(table, encoding="utf-8")
        call_command("backfill", str(station.pk), str(file), *options, stdout=out, stderr=out)
        return out.getvalue()

    return run


class TestDryRun:
    def test_it_says_what_each_column_would_become_and_stores_nothing(self, backfill):
        said = backfill(TABLE, *MAP, "--zone", "Europe/Zurich", "--dry-run")
        temperature = next(line for line in said.splitlines() if line.startswith("  temp"))
        assert "→ t [F]: 3 values, 32 to 95" in temperature
        assert "air temperature: the first, 32 [F], is 0.0 °C; the last, 95 [F], is 35.0 °C" in temperature
        # Zurich is two hours ahead of UTC in July.
        assert "from 2025-07-01 00:00 (22:00 UTC) to 2025-07-02 12:00 (10:00 UTC)" in temperature
        assert "station pressure: the first, 30 [inHg], is 1015.9 hPa" in said
        assert not Report.objects.exists() and not Work.objects.exists()
        assert "Nothing was stored" in said

    def test_a_channel_nobody_knows_is_named(self, backfill):
        said = backfill(TABLE, *MAP, "--dry-run")
        assert "lux → lux: 3 values" in said and "No channel of this station bears this name" in said

    def test_a_column_of_words_is_named(self, backfill):
        said = backfill(TABLE, *MAP[:-2], "--dry-run")
        assert "notes → notes: It holds no numbers." in said

    def test_a_wrong_unit_is_refused_with_the_units_that_fit(self, backfill):
        said = backfill("time,t [hPa]\n2025-07-01T00:00:00Z,32\n", "--dry-run")
        assert "As air temperature" in said and "[degF]" in said

    def test_what_is_older_than_its_channel_is_named(self, backfill):
        said = backfill("time,t\n2015-07-01T00:00:00Z,32\n", "--dry-run")
        assert "The channel begins on 2020-01-01" in said

    def test_what_is_refused_is_named_by_its_line(self, backfill):
        said = backfill(TABLE, *MAP, "--dry-run")
        assert "In line 5, 't' was left out: 'warm' is not a number." in said
        assert "Line 6 was left out: it has 1 columns and the header has 5." in said
        assert "Line 7 was left out: its time lies before the year 2000." in said
        assert "Line 8 was left out: its time, 'yesterday'" in said


class TestTakingIn:
    def test_readings_arrive_in_standard_units_at_true_times(self, backfill, station):
        said = backfill(TABLE, *MAP, "--zone", "Europe/Zurich")
        assert "Stored 10 readings in 2 reports" in said and "Line 6 was left out" in said
        settle()
        rows = read(Observation, [station.pk], 0, 1 << 40, ["air_temperature", "station_pressure"])
        stamps = np.array(
            ["2025-06-30T22:00", "2025-06-30T22:10", "2025-07-02T10:00", "2025-07-02T10:05"],
            dtype="datetime64[s]",
        )
        assert rows.at.tolist() == stamps.astype(np.int64).tolist()
        np.testing.assert_allclose(
            rows.columns["air_temperature"], [273.15, 283.15, 308.15, np.nan], atol=1e-4
        )
        np.testing.assert_allclose(rows.columns["station_pressure"][0], 101592, atol=1)

    def test_the_same_table_again_stores_nothing_new(self, backfill):
        backfill(TABLE, *MAP)
        stored = Report.objects.count()
        Work.objects.all().delete()
        said = backfill(TABLE, *MAP)
        assert "Stored 0 readings in 0 reports; 2 were known before." in said
        assert Report.objects.count() == stored and not Work.objects.exists()

    def test_a_table_that_has_grown_adds_its_new_days_only(self, backfill):
        backfill(TABLE, *MAP)
        said = backfill(TABLE + "2025-07-03 12:00,50,30,4,new\n", *MAP)
        assert "Stored 3 readings in 1 reports; 2 were known before." in said

    def test_a_unit_in_the_header_and_a_time_column_are_found_without_a_word(self, backfill):
        said = backfill("time,t [F],rh (%)\n2025-07-01T00:00:00Z,32,50\n")
        assert "Stored 2 readings in 1 reports" in said

    def test_semicolons_and_decimal_commas(self, backfill, station):
        backfill("time;t\n01.07.2025 00:00;21,5\n31.07.2025 00:00;22,5\n")
        settle()
        rows = read(Observation, [station.pk], 0, 1 << 40, ["air_temperature"])
        np.testing.assert_allclose(rows.columns["air_temperature"], [294.65, 295.65], atol=1e-4)

    def test_the_hour_that_clocks_live_through_twice_keeps_both(self, backfill, station):
        hours = ["01:00", "02:00", "02:00", "03:00"]  # Zurich, 26 October 2025
        table = "time,t\n" + "".join(f"2025-10-26 {hour},{i}\n" for i, hour in enumerate(hours))
        backfill(table, "--zone", "Europe/Zurich")
        settle()
        rows = read(Observation, [station.pk], 0, 1 << 40, ["air_temperature"])
        assert np.diff(rows.at).tolist() == [3600, 3600, 3600]

    def test_a_year_of_hours_goes_in_by_days(self, backfill):
        hours = np.arange("2024-01-01T00", "2024-02-10T00", dtype="datetime64[h]")
        said = backfill("time,t\n" + "".join(f"{hour}:00Z,1\n" for hour in hours))
        assert "Stored 960 readings in 40 reports" in said


class TestNotPossible:
    @pytest.mark.parametrize(
        ("table", "options", "words"),
        [
            ("", (), "table is empty"),
            ("t,rh\n1,2\n", (), "No column holds the time"),
            ("time,t\n2025-07-01T00:00:00Z,1\n", ("--map", "Outside=t"), "There is no column 'Outside'"),
            ("time,t\n2025-07-01T00:00:00Z,1\n", ("--map", "Outside"), "is no mapping"),
            ("time,t\n2025-07-01T00:00:00Z,1\n", ("--map", "t=key"), "cannot be called 'key'"),
            ("time,t\n2025-07-01T00:00:00Z,1\n", ("--zone", "Zurich"), "not a time zone"),
            ("time,t\n01/02/2025 00:00,1\n", (), "either way round"),
            ("time,t\n1970-01-01T00:00:00Z,1\n", (), "No row has a time between"),
        ],
    )
    def test_it_says_why_and_what_to_do(self, backfill, table, options, words):
        with pytest.raises(CommandError, match=words):
            backfill(table, *options)
        assert not Report.objects.exists()

    def test_no_file(self, station, tmp_path):
        with pytest.raises(CommandError, match="cannot be read"):
            call_command("backfill", str(station.pk), str(tmp_path / "none.csv"))

    def test_no_station(self, station, tmp_path):
        with pytest.raises(CommandError, match=r"no station 'Brok'\. Known: \d+ Brook"):
            call_command("backfill", "Brok", str(tmp_path / "old.csv"))
