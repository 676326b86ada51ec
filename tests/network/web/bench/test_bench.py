"""The calibration bench: what each helper finds on readings whose truth is known, and who may keep it."""

import json
import re
import time

import numpy as np
import pytest
from django.urls import reverse

from network.models import Report, Summary
from network.science.sun import solar_position
from network.web.bench.helper import Bench, NotFound
from network.web.bench.helpers import HELPERS, suiting
from stations import history
from stations.models import Calibration, Channel, Household, Placement, Station
from tests.stations.conftest import SINCE, homes, keeper, neighbour  # noqa: F401

HOUR, DAY = 3600, 86400
ENDS = int(time.time()) // HOUR * HOUR
BEGINS = ENDS - 14 * DAY
PLACE = {"latitude": 47.31, "longitude": 8.91, "elevation": 440.0}


def fitted(station: Station, variable: str, name: str, unit: str, **instrument: object) -> Channel:
    return history.fit(station, {"variable": variable, **instrument}, {"name": name, "unit": unit}, SINCE)


def reported(station: Station, seconds: np.ndarray, **said: np.ndarray) -> None:
    """Reports of an hour's worth each, as a board sends them."""
    for at in range(0, len(seconds), 12):
        part = slice(at, at + 12)
        words = [
            {"time": int(when)} | {name: float(values[part][i]) for name, values in said.items()}
            for i, when in enumerate(seconds[part])
        ]
        first, last = int(seconds[part][0]), int(seconds[part][-1])
        body = json.dumps(words).encode()
        Report.keep(station.pk, float(last), "application/json", body, f"{station.pk} {at}", first, last, "")


def hours(station: Station, variable: str, values: np.ndarray) -> None:
    """Good hours of a station up to now."""
    Summary.objects.bulk_create(
        Summary(
            station=station, span="hour", begins_at=BEGINS + HOUR * i, variable=variable, mean=value, low=value,
            high=value, good=12, reports=12,
        )
        for i, value in enumerate(values)
    )  # fmt: skip


def neighbours(homes, count: int = 4) -> list[Station]:  # noqa: F811
    made = []
    for number in range(count):
        home = Household.objects.create(village=homes.village, name=f"House {number}")
        station = Station.objects.create(
            household=home, name=f"Station {number}", state="live", counts_from=SINCE
        )
        Placement.objects.create(station=station, begins_at=SINCE, **PLACE)
        made.append(station)
    return made


def worked(station: Station, channel: Channel, name: str, **said: object):
    bench = Bench(station, channel, station.placements.get())
    return next(each for each in HELPERS if each.name == name).work(bench, said)


@pytest.fixture
def wind() -> np.ndarray:
    """Hours of wind [m/s]: a fortnight of calm nights and windy days."""
    return 5.0 + 4.0 * np.sin(np.arange(14 * 24) / 24 * 2 * np.pi)


def test_a_rotors_factor_is_found_again_from_the_neighbours(homes, wind):  # noqa: F811
    # A truth known beforehand: this rotor gives a pulse every 0.7 m; neighbours read 0.9 to 1.2 of its wind.
    for share, station in zip((0.9, 1.0, 1.0, 1.2), neighbours(homes), strict=True):
        hours(station, "wind_speed", share * wind)
    channel = fitted(homes.station, "wind_speed", "pulses", "count")
    seconds = np.arange(BEGINS + 300, ENDS + 1, 300)
    pulses = np.repeat(wind, 12) / 0.7 * 300
    reported(homes.station, seconds, pulses=pulses)
    found = worked(homes.station, channel, "wind", period=300.0)
    assert found.parameters["metres_per_pulse"] == pytest.approx(0.7, abs=0.01)
    assert found.parameters["period"] == 300.0
    assert "4 neighbours" in found.words


def test_the_doubt_of_a_hilltop_rotor_holds_the_truth(homes, wind):  # noqa: F811
    # Constructed: on a hill 120 m above the village the wind is half as strong again, which nobody there knows.
    for station in neighbours(homes):
        hours(station, "wind_speed", wind)
    Placement.objects.filter(station=homes.station).update(elevation=560.0)
    channel = fitted(homes.station, "wind_speed", "pulses", "1/s")
    reported(homes.station, np.arange(BEGINS + 300, ENDS + 1, 300), pulses=np.repeat(1.5 * wind, 12) / 0.7)
    found = worked(homes.station, channel, "wind")
    value, error = (float(part) for part in re.search(r"about ([\d.]+) ± ([\d.]+) m", found.words).groups())
    assert abs(value - 0.7) < 2 * error


def test_without_wind_it_says_what_would_help(homes):  # noqa: F811
    hours(neighbours(homes, 1)[0], "wind_speed", np.full(14 * 24, 1.0))
    channel = fitted(homes.station, "wind_speed", "pulses", "1/s")
    reported(homes.station, np.arange(ENDS - DAY, ENDS, 300), pulses=np.full(288, 2.0))
    with pytest.raises(NotFound, match="windy day"):
        worked(homes.station, channel, "wind")


def test_a_barometer_is_brought_to_its_neighbours(homes):  # noqa: F811
    homes.live()
    channel = fitted(homes.station, "station_pressure", "p", "hPa")
    level = 101_500.0 + 300.0 * np.sin(np.arange(14 * 24) / 50)
    for station, off in zip(neighbours(homes), (-20.0, 0.0, 0.0, 30.0), strict=True):
        hours(station, "sea_level_pressure", level + off)
    hours(homes.station, "sea_level_pressure", level - 150.0)
    reported(homes.station, np.array([ENDS]), p=np.array([960.0]))
    found = worked(homes.station, channel, "pressure")
    # Computed: 150 Pa at sea level are 150 exp(-440 / 8000) = 142 Pa at 440 m.
    assert found.parameters["offset"] == pytest.approx(142.0, abs=1.0)
    assert "1.42 ± " in found.words


def test_a_light_sensors_ends_are_its_nights_and_noons(homes):  # noqa: F811
    channel = fitted(homes.station, "light_level", "light", "count")
    seconds = np.arange(ENDS - 5 * DAY, ENDS + 1, 300)
    elevation, _ = solar_position(seconds, PLACE["latitude"], PLACE["longitude"])
    reported(
        homes.station, seconds, light=np.round(12 + 900 * np.clip(np.sin(np.radians(elevation)), 0, 1) ** 0.2)
    )
    found = worked(homes.station, channel, "noon")
    assert found.parameters["dark"] == 12.0
    assert 600 < found.parameters["bright"] < 912


@pytest.fixture
def lately(homes) -> None:  # noqa: F811
    """An hour of the thermometer: 0.6 °C, as it stands in melting ice."""
    reported(homes.station, np.arange(ENDS - HOUR + 300, ENDS + 1, 300), temp=np.full(12, 0.6))


def at(homes, name: str) -> str:  # noqa: F811
    return reverse("bench-helper", args=[homes.station.pk, homes.thermometer.pk, name])


def test_the_last_day_is_recomputed_before_anything_is_kept(homes, keeper, lately):  # noqa: F811
    told = keeper.post(at(homes, "points"), {"points": "0.6 0.0", "preview": "1"}).content.decode()
    assert "<html" not in told
    assert "All readings become 0.6 °C lower" in told
    assert '<td class="number">0.6</td><td class="number">0.0</td>' in told
    assert not Calibration.objects.exists()


def test_what_is_kept_is_a_dated_calibration_with_its_reason(homes, keeper, lately):  # noqa: F811
    page = keeper.post(at(homes, "points"), {"points": "0.6 0\n38.8 40", "keep": "1"}, follow=True)
    made = Calibration.objects.get()
    assert made.kind == "gain_offset"
    # In kelvin too, 0.6 °C has become 0.0 and 38.8 °C has become 40.0.
    gain, offset = made.parameters["gain"], made.parameters["offset"]
    assert np.allclose(gain * np.array([273.75, 311.95]) + offset, [273.15, 313.15], atol=2e-3)
    assert made.made_by.username == "kay"
    assert "0.6 was 0 °C; 38.8 was 40 °C" in page.content.decode()


def test_more_than_two_comparisons_make_a_table(homes, keeper, lately):  # noqa: F811
    keeper.post(at(homes, "points"), {"points": "20 20.5\n0 0.2\n10 9.8", "keep": "1"})
    assert Calibration.objects.get().parameters == {
        "points": [[273.15, 273.35], [283.15, 282.95], [293.15, 293.65]]
    }


def test_a_meter_a_litre_and_a_board_fill_in_their_kinds(homes, keeper):  # noqa: F811
    battery = fitted(homes.station, "battery_voltage", "adc", "count")
    rain = fitted(homes.station, "rain_amount", "tips", "count")
    wet = fitted(homes.station, "surface_wetness", "wet", "count")
    said = {
        (battery, "meter"): {
            "battery": "14.4", "said": "949", "bits": "10", "reference_voltage": "3.3", "lower_resistance": "27000",
        },
        (rain, "litre"): {"millilitres": "1000", "tips": "250", "area": "200", "counts": "period"},
        (wet, "board"): {"dry": "1015", "wet": "330"},
    }  # fmt: skip
    for (channel, name), answers in said.items():
        where = reverse("bench-helper", args=[homes.station.pk, channel.pk, name])
        keeper.post(where, answers | {"keep": "1"})
    made = {each.kind: each.parameters for each in Calibration.objects.all()}
    # Computed: 100 k over 27 k gives code 949 of 1023 at 14.4 V, to half a code.
    assert made["divider"]["upper_resistance"] == pytest.approx(100_000, rel=1e-3)
    assert made["tips"] == {"millimetres_per_tip": 0.2, "counts": "period"}
    assert made["wet_board"] == {"dry": 1015.0, "wet": 330.0}


def test_a_figure_that_is_far_too_large_is_told(homes, keeper):  # noqa: F811
    battery = fitted(homes.station, "battery_voltage", "adc", "V")
    where = reverse("bench-helper", args=[homes.station.pk, battery.pk, "meter"])
    said = {"battery": "4020", "said": "2", "lower_resistance": "27000"}
    told = keeper.post(where, said).content.decode()  # volts, not millivolts
    assert "That is too much: look at the unit." in told
    assert 'value="4020"' in told


def test_the_axis_of_the_last_day_is_no_finer_than_readings_are_shown(homes, keeper, lately):  # noqa: F811
    told = keeper.post(at(homes, "points"), {"points": "0.6 0\n38.8 40"}).content.decode()
    ends = re.findall(r"<text class=\"label\"[^>]*>([^<>]*) °C</text>", told)
    assert len(ends) == 2
    assert all(re.fullmatch(r"−?\d+(\.\d)?", end) for end in ends), ends


def test_the_figures_of_the_axis_lie_off_a_line_that_rests_at_its_lowest(homes, keeper, lately):  # noqa: F811
    told = keeper.post(at(homes, "points"), {"points": "0.6 0.0", "preview": "1"}).content.decode()
    deepest = max(float(y) for path in re.findall(r'<path class="line[^>]* d="([^"]+)"', told)
                  for y in re.findall(r"[ML][\d.]+ ([\d.]+)", path))  # fmt: skip
    words = re.findall(r'<text class="label" x="0" y="(\d+)" dy="(-?\d+)"', told)
    high, low, times = (float(y) + float(dy) for y, dy in words)
    letters = 11  # [px] their height
    assert high < deepest and low - letters > deepest and times - letters >= low


def test_a_drive_there_and_back_gives_the_factor(homes, keeper):  # noqa: F811
    rotor = fitted(homes.station, "wind_speed", "pulses", "1/s")
    where = reverse("bench-helper", args=[homes.station.pk, rotor.pk, "drive"])
    # Constructed: 36 km/h are 10 m/s; 1 m/s of wind along the road falls out.
    keeper.post(where, {"points": "36 12.857\n36 15.714", "keep": "1"})
    assert Calibration.objects.get().parameters["metres_per_pulse"] == pytest.approx(0.7, abs=0.005)


def test_faults_are_told_and_half_typed_figures_leave_the_page_alone(homes, keeper, lately):  # noqa: F811
    assert keeper.post(at(homes, "points"), {"points": "0.6", "preview": "1"}).status_code == 204
    for typed, sentence in (
        ("0.6", "two numbers on each line"),
        ("", "Write a line"),
        ("nan 1e999", "is not a number"),
    ):
        told = keeper.post(at(homes, "points"), {"points": typed}).content.decode()
        assert sentence in told
        assert f"{typed}</textarea>" in told
    told = keeper.post(at(homes, "points"), {"points": "5 4\n5 6"}).content.decode()
    assert "two readings that differ" in told


def test_before_the_first_report_the_bench_says_so(homes, keeper):  # noqa: F811
    assert "It has said nothing yet" in keeper.get(at(homes, "points")).content.decode()


def test_only_what_suits_a_channel_is_offered_and_only_to_its_keepers(homes, keeper, neighbour):  # noqa: F811
    index = reverse("bench", args=[homes.station.pk, homes.thermometer.pk])
    assert [helper.name for helper in suiting(homes.thermometer)] == ["points"]
    assert "Compare it with something better" in keeper.get(index).content.decode()
    assert keeper.get(at(homes, "litre")).status_code == 404
    assert neighbour.get(index).status_code == 404
    assert neighbour.post(at(homes, "points"), {"points": "1 0", "keep": "1"}).status_code == 404
