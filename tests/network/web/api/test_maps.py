"""Maps and estimates: never without their uncertainty, and none where there is too little to stand on."""

import statistics

import pytest

from network.models import VillageMap
from stations.models import Placement, Station
from tests.network.web.api.conftest import MORNING, NOON, SPOILT


def test_a_map_tells_who_it_stands_on_and_who_is_left_out(reader, village, stations):
    at = {"variable": "air_temperature", "at": SPOILT, "rows": 5}
    body = reader.get(f"/api/villages/{village.slug}/maps", at).json()
    assert [one["station"] for one in body["used"]] == [stations[i].pk for i in (0, 2, 3)]
    assert body["left_out"] == [{"station": stations[1].pk, "name": stations[1].name, "why": "wrong"}]


@pytest.mark.parametrize("variable", ["air_temperature", "rain_amount", "wind_speed"])
def test_every_cell_has_its_standard_error(reader, village, variable):
    asked = {"variable": variable, "at": NOON, "rows": 5}
    grid = reader.get(f"/api/villages/{village.slug}/maps", asked).json()["grid"]
    shape = (len(grid["latitude_edges"]) - 1, len(grid["longitude_edges"]) - 1)
    assert shape[0] == 5
    for cells in (v for k, v in grid.items() if not k.endswith("edges")):
        assert (len(cells), {len(row) for row in cells}) == (shape[0], {shape[1]})
        assert all(isinstance(value, float) for row in cells for value in row)
    assert all(error > 0 for row in grid["standard_error"] for error in row)


def test_rows_run_from_south_to_north_between_the_edges_of_the_village(reader, village):
    asked = {"variable": "air_temperature", "at": NOON, "rows": 5}
    grid = reader.get(f"/api/villages/{village.slug}/maps", asked).json()["grid"]
    for edges, ends in (("latitude_edges", ("south", "north")), ("longitude_edges", ("west", "east"))):
        told = grid[edges]
        assert told == sorted(told)
        assert (told[0], told[-1]) == pytest.approx([getattr(village, end) for end in ends], abs=2e-5)


def test_an_estimate_has_a_standard_error_and_the_interval_that_follows(reader, village):
    asked = {"lat": 47.312, "lon": 8.914, "variable": "air_temperature", "at": NOON}
    body = reader.get("/api/estimate", asked).json()
    # The 95 % point of the normal distribution is 1.645: 90 % lie within as many standard errors.
    reach = 1.645 * body["standard_error"]
    assert body["interval"]["low"] == pytest.approx(body["value"] - reach, abs=2e-3)
    assert body["interval"]["high"] == pytest.approx(body["value"] + reach, abs=2e-3)
    assert body["unit"] == "Cel" and len(body["used"]) == 4


def test_fahrenheit_scales_an_error_without_moving_its_zero(reader, village):
    asked = {"lat": 47.312, "lon": 8.914, "variable": "air_temperature", "at": NOON}
    celsius, fahrenheit = (
        reader.get("/api/estimate", asked | {"units": u}).json() for u in ("Cel", "[degF]")
    )
    assert fahrenheit["value"] == pytest.approx(celsius["value"] * 1.8 + 32, abs=1e-3)
    assert fahrenheit["standard_error"] == pytest.approx(celsius["standard_error"] * 1.8, abs=1e-3)


def test_the_wind_at_my_gate_has_a_direction_and_never_blows_less_than_nothing(reader, village):
    asked = {"lat": 47.312, "lon": 8.914, "variable": "wind_speed", "at": NOON}
    body = reader.get("/api/estimate", asked).json()
    assert 0 <= body["interval"]["low"] <= body["value"] <= body["interval"]["high"]
    assert 0 < body["from_direction"] <= 360


def test_outside_every_village_there_is_no_estimate(reader, village):
    answer = reader.get("/api/estimate", {"lat": 8.914, "lon": 47.312, "variable": "air_temperature"})
    assert answer.status_code == 404
    assert "outside every village" in answer.json()["error"] and "swapped" in answer.json()["hint"]


@pytest.mark.parametrize("path", ["/api/estimate", "/api/villages/{}/maps"])
def test_with_too_few_stations_a_sentence_says_what_is_missing(reader, village, path):
    asked = {"variable": "sea_level_pressure", "at": NOON}
    if path == "/api/estimate":
        asked |= {"lat": 47.312, "lon": 8.914}
    answer = reader.get(path.format(village.slug), asked)
    assert answer.status_code == 404
    assert "a map needs three" in answer.json()["error"]


def test_without_a_time_an_old_map_does_not_stand_for_now(reader, village):
    answer = reader.get("/api/estimate", {"lat": 47.312, "lon": 8.914, "variable": "air_temperature"})
    assert answer.status_code == 404
    assert "No trusted stations report air temperature; a map needs three." in answer.json()["error"]


def test_the_future_is_not_told(reader, village):
    answer = reader.get(
        f"/api/villages/{village.slug}/maps", {"variable": "rain_amount", "at": "2999-01-01T00:00:00Z"}
    )
    assert answer.status_code == 404 and "not over yet" in answer.json()["error"]


def error_at(reader, place: tuple[float, float]) -> float:
    asked = {"lat": place[0], "lon": place[1], "variable": "air_temperature", "at": NOON}
    return reader.get("/api/estimate", asked).json()["standard_error"]


def test_the_error_is_least_where_a_rounded_station_is_shown_and_not_where_it_stands(
    reader, village, stations
):
    placement = stations[2].placements.get()
    Station.objects.filter(pk=stations[2].pk).update(shown=Station.Shown.ROUNDED)
    true = placement.latitude, placement.longitude
    shown = Placement.objects.get(pk=placement.pk).public_place
    assert shown != true and error_at(reader, shown) < error_at(reader, true)


def test_a_station_that_is_not_shown_takes_no_part_and_three_are_still_needed(reader, village, stations):
    asked = {"lat": 47.312, "lon": 8.914, "variable": "air_temperature", "at": NOON}
    Station.objects.filter(pk=stations[0].pk).update(shown=Station.Shown.HIDDEN)
    assert reader.get("/api/estimate", asked).status_code == 200
    Station.objects.filter(pk=stations[1].pk).update(shown=Station.Shown.HIDDEN)
    refused = reader.get("/api/estimate", asked)
    assert refused.status_code == 404 and refused.json()["error"].startswith("Two trusted stations report")


def test_what_tells_of_distances_is_coarse_where_a_place_is_not_shown_exactly(reader, village, stations):
    address = f"/api/stations/{stations[2].pk}/comparisons"
    Station.objects.filter(pk=stations[2].pk).update(shown=Station.Shown.HIDDEN)
    said = reader.get(address, MORNING | {"variables": "air_temperature", "units": "canonical"}).json()[
        "comparisons"
    ]
    errors = {one["compared"]["air_temperature"]["standard_error"] for one in said}
    assert errors and all(float(f"{error:.1g}") == pytest.approx(error) for error in errors)


def test_no_wind_map_is_told_in_a_sentence_like_any_other(reader, village):
    long_ago = {"variable": "wind_speed", "at": "2024-05-01T12:00:00Z"}
    assert reader.get(f"/api/villages/{village.slug}/maps", long_ago).status_code == 404


def test_an_estimate_comes_with_those_of_the_hours_before_it(reader, village):
    asked = {"lat": 47.312, "lon": 8.914, "variable": "air_temperature", "at": NOON, "hours": 2}
    body = reader.get("/api/estimate", asked).json()
    assert len(body["series"]) == 12 and body["series"][-1]["at"] == body["at"]
    assert body["series"][-1].items() <= body.items()
    whole_day = reader.get("/api/estimate", asked | {"hours": 24}).json()["series"]
    assert [one["at"] for one in whole_day[-12:]] == [one["at"] for one in body["series"]]
    earlier = reader.get("/api/estimate", asked | {"at": SPOILT, "hours": 0}).json()
    assert len(earlier["series"]) == 1
    (same,) = (one for one in body["series"] if one["at"] == earlier["at"])
    assert same["value"] == pytest.approx(earlier["value"], abs=1e-3)


def test_half_of_the_truths_lie_in_an_interval_well_within_that_of_nine_in_ten(reader, village):
    asked = {"lat": 47.312, "lon": 8.914, "variable": "air_temperature", "at": NOON}
    body = reader.get("/api/estimate", asked).json()
    # Of the normal distribution half lie within 0.674 standard errors, nine in ten within 1.645.
    width = body["half_interval"]["high"] - body["half_interval"]["low"]
    assert width == pytest.approx(2 * 0.6745 * body["standard_error"], abs=4e-3)
    assert body["half_interval"]["share"] == 0.5 and body["interval"]["share"] == 0.9


def test_every_ten_minutes_of_rain_have_their_chance(reader, village):
    asked = {"lat": 47.312, "lon": 8.914, "variable": "rain_amount", "at": NOON}
    series = reader.get("/api/estimate", asked).json()["series"]
    assert series and all(0 < one["chance"] < 1 for one in series)


def test_a_month_of_maps_is_scored_by_each_method(reader, village):
    answer = reader.get(f"/api/villages/{village.slug}/maps/scores", {"month": "2024-05"})
    warm = answer.json()["scores"]["air_temperature"]
    assert warm["maps"] == sum(warm["methods"].values()) == 36  # six hours of ten minutes each
    kept = VillageMap.objects.filter(village=village, variable="air_temperature")
    mean_square = statistics.fmean(one.rmse**2 for one in kept)
    assert warm["root_mean_square_error"] == pytest.approx(mean_square**0.5, abs=1e-3)
    for one in ("inverse_distance", "village_mean"):
        assert warm[f"{one}_root_mean_square_error"] > 0
    assert 0 <= warm["half_coverage"] <= warm["coverage"] <= 1


@pytest.mark.parametrize("month", ["2024-13", "June", "24-5"])
def test_a_month_is_written_as_year_and_month(reader, village, month):
    refused = reader.get(f"/api/villages/{village.slug}/maps/scores", {"month": month})
    assert refused.status_code == 400 and "2026-06" in refused.json()["error"]


def test_the_page_of_a_month_says_it_in_words_and_in_a_table(reader, village):
    page = reader.get(f"/{village.slug}/map/scores/?month=2024-05").content.decode()
    assert "Air temperature is told to within" in page and "intervals that should hold 90" in page
    empty = reader.get(f"/{village.slug}/map/scores/?month=2024-04").content.decode()
    assert "a map needs three trusted stations" in empty
    assert reader.get(f"/{village.slug}/map/scores/?month=never").status_code == 404
