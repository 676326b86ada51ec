"""Tables as spreadsheets and loggers write them, read for backfill."""

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from network.wire.csv_columns import ROWS_A_MESSAGE, Channel, Mapping, arrange, propose, read, say
from network.wire.message import NotUnderstood, Said

PARIS = ZoneInfo("Europe/Paris")


def epoch(text: str) -> int:
    return int(datetime.fromisoformat(text).astimezone(UTC).timestamp())


def said(text: str, zone: ZoneInfo = PARIS) -> list[Said]:
    table = read(text)
    return [one for message in say(table, propose(table.columns), zone) for one in message.said]


def sentences(text: str) -> list[str]:
    table = read(text)
    return [one for message in say(table, propose(table.columns), PARIS) for one in message.refused]


def times(*cells: str) -> list[int]:
    return [one.at for one in said("\n".join(["time;temp", *(f"{cell};1" for cell in cells)]))]


def test_a_header_names_channels_and_their_units():
    assert propose(["Date_time [UTC]", "temp [F]", "hum (%)", "rain", ""]) == Mapping(
        time=("Date_time [UTC]",),
        channels={
            "temp [F]": Channel("temp", "F"),
            "hum (%)": Channel("hum", "%"),
            "rain": Channel("rain", ""),
        },
        zone="UTC",
    )


def test_date_and_time_of_day_may_stand_apart():
    assert propose(["Time", "temp", "Date"]).time == ("Time", "Date")
    found = said("Date,Time,temp [°C]\n2026-06-01,14:00,21.4\n")
    assert found == [Said("temp", 21.4, "°C", epoch("2026-06-01T12:00:00+00:00"))]


def test_whoever_knows_better_says_what_each_column_is():
    wanted = {"When": "time [UTC]", "A1": "temp [F]", "A2": ""}
    assert arrange(["When", "A1", "A2", "A3"], wanted) == Mapping(
        ("When",), {"A1": Channel("temp", "F")}, zone="UTC"
    )


@pytest.mark.parametrize(
    ("wanted", "why"),
    [
        ({"A1": "temp"}, "No column holds the time"),
        ({"When": "time"}, "No column holds values"),
        ({"When": "time", "A9": "temp"}, "There is no column 'A9'"),
        ({"When": "time", "A1": "temp [F]", "A2": "temp [Cel]"}, "Two columns would become 'temp'"),
    ],
)
def test_a_mapping_that_cannot_work_says_why(wanted, why):
    with pytest.raises(NotUnderstood, match=why):
        arrange(["When", "A1", "A2"], wanted)


@pytest.mark.parametrize(
    "text",
    [
        "time,temp [F],hum\n2026-06-01T12:00Z,70.5,40\n",
        "\ufefftime;temp [F];hum\r\n2026-06-01T12:00Z;70,5;40\r\n",
        'time,temp [F],hum\n"2026-06-01T12:00Z","70,5","40"\n',
        "time\ttemp [F]\thum\n\n2026-06-01T12:00Z\t70.5\t40\t\n",
        "time ; temp [F] ; hum\n1780315200 ; 70.5 ; 40\n",
    ],
)
def test_separators_decimal_signs_and_line_ends_are_found_out(text):
    at = epoch("2026-06-01T12:00:00+00:00")
    assert said(text) == [Said("temp", 70.5, "F", at), Said("hum", 40, "", at)]


def test_a_file_from_an_older_spreadsheet_is_read(tmp_path: Path):
    path = tmp_path / "garden.csv"
    path.write_bytes("time;temp (°C)\n2026-06-01 12:00;21,4\n".encode("cp1252"))
    assert read(path).columns == ["time", "temp (°C)"]


@pytest.mark.parametrize("missing", ["", "-", "NA", "n/a", "NaN", "null"])
def test_an_empty_cell_is_missing_and_nothing_is_said_of_it(missing):
    text = f"time,temp,hum\n2026-06-01T12:00Z,{missing},40\n"
    assert [one.name for one in said(text)] == ["hum"]
    assert sentences(text) == []


def test_problems_carry_line_numbers():
    text = (
        "time,temp,hum\n2026-06-01T12:00Z,warm,40\n\n2026-06-01T12:05Z,1\nnoon,2,41\n2026-06-01T12:10Z,3,42\n"
    )
    assert [one.value for one in said(text)] == [40, 3, 42]
    assert sentences(text) == [
        "Line 4 was left out: it has 2 columns and the header has 3.",
        "In line 2, 'temp' was left out: 'warm' is not a number.",
        "Line 5 was left out: its time, 'noon', is not ISO 8601.",
    ]


def test_a_dot_among_decimal_commas_is_doubted():
    text = "time;temp\n" + "2026-06-01T12:00Z;21,4\n" * 2000 + "2026-06-01T12:00Z;1.013\n"
    assert sentences(text) == [
        "In line 2002, 'temp' was left out: '1.013' is not a number with a decimal comma like the others."
    ]


def test_local_times_belong_to_the_zone_of_the_station_unless_the_header_names_one():
    assert said("time,temp\n2026-06-01 12:00,1\n")[0].at == epoch("2026-06-01T10:00:00+00:00")
    assert said("time [UTC],temp\n2026-06-01 12:00,1\n")[0].at == epoch("2026-06-01T12:00:00+00:00")
    assert said("time (local),temp\n2026-06-01 12:00,1\n")[0].at == epoch("2026-06-01T10:00:00+00:00")


def test_in_the_hour_that_clocks_live_through_twice_the_order_of_rows_tells_which():
    # Directive 2000/84/EC: summer time ends at 1:00 UTC on the last Sunday of October.
    rows = [f"2026-10-25 {clock}" for clock in ("01:30", "02:00", "02:30", "02:00", "02:30", "03:00")]
    start = epoch("2026-10-24T23:30:00+00:00")
    assert times(*rows) == [start + half_hour * 1800 for half_hour in range(6)]


@pytest.mark.parametrize(
    "cells",
    [
        ("01.06.2026 14:00", "13.06.2026 14:00"),
        ("01/06/2026 14:00:00", "13/06/2026 14:00:00"),
        ("06/01/2026 02:00 PM", "06/13/2026 02:00 PM"),
        ("2026/06/01 14:00", "2026/06/13 14:00"),
        ("01.06.26 14:00", "13.06.26 14:00"),
    ],
)
def test_the_way_times_are_written_is_found_out_from_all_of_them(cells):
    assert times(*cells) == [epoch("2026-06-01T12:00:00+00:00"), epoch("2026-06-13T12:00:00+00:00")]


@pytest.mark.parametrize(
    ("cell", "why"), [("01/06/2026 14:00", "either way round"), ("noon", "not known"), ("", "empty")]
)
def test_times_that_nobody_can_tell_are_asked_about(cell, why):
    with pytest.raises(NotUnderstood, match=why):
        times(cell)


def test_a_format_that_is_named_is_used():
    table = read("time,temp\n01/06/2026 14:00,1\n")
    mapping = Mapping(("time",), {"temp": Channel("temp", "F")}, time_format="%d/%m/%Y %H:%M")
    (message,) = say(table, mapping, PARIS)
    assert message.said == [Said("temp", 1, "F", epoch("2026-06-01T12:00:00+00:00"))]


def test_a_long_table_comes_in_messages_of_a_day():
    table = read("time,temp\n" + "".join(f"{1780315200 + 300 * row},1\n" for row in range(600)))
    sizes = [len(message.said) for message in say(table, propose(table.columns), PARIS)]
    assert sizes == [ROWS_A_MESSAGE, ROWS_A_MESSAGE, 24]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "empty"),
        ("time,temp\n", "no rows"),
        ("time,temp,temp\n1,2,3\n", "Two columns are called 'temp'"),
        ("time,temp\n1780315200,2,3\n", "Line 2 was left out"),
        ('time,temp\n1780315200,"' + "9" * 200_000 + '"\n', "Line 2 is not CSV"),
    ],
)
def test_what_is_no_table_says_why(text, why):
    with pytest.raises(NotUnderstood, match=why):
        read(text)
