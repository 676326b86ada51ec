"""Readings with units, verdicts and reasons; evidence, comparisons and summaries; pages of time."""

import pytest
from django.test import Client

from stations.models import Station
from tests.network.web.api.conftest import MORNING, NONSENSE, SPOILT, TIMES


def readings(reader: Client, station: Station, **asked: object) -> list[dict]:
    return reader.get(f"/api/stations/{station.pk}/observations", MORNING | asked).json()["observations"]


def test_a_reading_has_value_unit_verdict_and_reasons(reader, stations):
    last = readings(reader, stations[1], to=SPOILT)[-1]
    assert last["at"] == "2024-05-14T13:00:00+02:00"
    reading = last["readings"]["air_temperature"]
    assert (reading["value"], reading["unit"], reading["verdict"]) == (NONSENSE, "Cel", "wrong")
    assert "physical" in reading["reasons"]


@pytest.mark.parametrize(
    ("units", "unit", "value"),
    # 80 °C by the definitions of the scales: 80 * 9/5 + 32, and 80 + 273.15.
    [
        ("shown", "Cel", 80.0),
        ("canonical", "K", 353.15),
        ("[degF]", "[degF]", 176.0),
        ("[mi_i]/h,F", "[degF]", 176.0),
    ],
)
def test_values_come_in_the_unit_asked_for(reader, stations, units, unit, value):
    reading = readings(reader, stations[1], to=SPOILT, units=units)[-1]["readings"]["air_temperature"]
    assert (reading["value"], reading["unit"]) == (value, unit)


def test_a_station_is_silent_about_what_it_does_not_measure(reader, stations):
    said = readings(reader, stations[0])[0]["readings"]
    assert "air_temperature" in said and "dew_point" in said
    assert "station_pressure" not in said and "irradiance" not in said


def test_variables_carry_their_cf_names(reader, stations):
    # CF standard name table: surface_air_pressure and lwe_thickness_of_precipitation_amount.
    body = reader.get(f"/api/stations/{stations[0].pk}/observations", MORNING).json()["variables"]
    assert body["station_pressure"]["standard_name"] == "surface_air_pressure"
    assert body["rain_amount"]["standard_name"] == "lwe_thickness_of_precipitation_amount"


@pytest.mark.parametrize("resource", ["observations", "comparisons", "summaries", "evidence"])
def test_pages_of_time_join_without_gap_or_overlap(reader, stations, resource):
    address, asked = f"/api/stations/{stations[1].pk}/{resource}", dict(MORNING)
    whole = reader.get(address, asked).json()[resource]
    joined, link = [], None
    for _ in range(len(whole) + 1):
        page = (reader.get(link) if link else reader.get(address, asked | {"limit": 5})).json()
        joined += page[resource]
        if (link := page["next"]) is None:
            break
    assert joined == whole and whole


def test_a_span_tells_what_ends_after_its_beginning_and_by_its_end(reader, stations):
    said = readings(
        reader, stations[0], **{"from": "2024-05-14T08:00:00+02:00", "to": "2024-05-14T10:00:00+02:00"}
    )
    assert (said[0]["at"], said[-1]["at"]) == ("2024-05-14T08:05:00+02:00", "2024-05-14T10:00:00+02:00")
    assert len(readings(reader, stations[0])) == len(TIMES)


def test_an_offset_whose_plus_became_a_blank_is_understood(reader, stations):
    address = f"/api/stations/{stations[0].pk}/observations"
    answer = reader.get(f"{address}?from=2024-05-14T08:00:00 02:00&to=2024-05-14T10:00:00+02:00&limit=1")
    assert answer.json()["observations"][0]["at"] == "2024-05-14T08:05:00+02:00"


def test_evidence_names_check_figures_and_advice(reader, stations):
    runs = reader.get(f"/api/stations/{stations[1].pk}/evidence", MORNING | {"units": "[degF]"}).json()[
        "evidence"
    ]
    run = next(run for run in runs if run["check"] == "physical" and run["variable"] == "air_temperature")
    assert (run["begins_at"], run["ends_at"]) == ("2024-05-14T12:55:00+02:00", "2024-05-14T13:00:00+02:00")
    assert (run["readings"], run["verdict"], run["observed"], run["unit"]) == (2, "wrong", 176.0, "[degF]")
    assert run["strain"] > 1 and run["advice"]


def test_a_departure_is_what_was_observed_minus_what_was_expected(reader, stations):
    compared = reader.get(f"/api/stations/{stations[1].pk}/comparisons", MORNING).json()["comparisons"]
    spoilt = next(one for one in compared if one["at"] == "2024-05-14T13:00:00+02:00")["compared"][
        "air_temperature"
    ]
    assert spoilt["observed"] == pytest.approx(NONSENSE)
    for one in (said["compared"]["air_temperature"] for said in compared):
        assert one["departure"] == pytest.approx(one["observed"] - one["expected"], abs=2e-4)
        assert one["standard_error"] > 0


def test_a_summary_counts_the_good_readings_behind_it(reader, stations):
    hours = reader.get(
        f"/api/stations/{stations[1].pk}/summaries", MORNING | {"variables": "air_temperature"}
    ).json()["summaries"]
    assert [hour["begins_at"][11:13] for hour in hours] == ["08", "09", "10", "11", "12", "13"]
    spoilt = hours[-2]  # 12:00 to 13:00 local, the last two of its twelve readings being nonsense
    assert (spoilt["good"], spoilt["reports"]) == (10, 12)
    assert spoilt["high"] < 40
