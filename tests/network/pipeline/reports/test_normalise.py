"""Reports become observations: units, calibrations and clocks, each by the arithmetic a keeper would do by hand."""

import json
from datetime import UTC, datetime

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.models import Observation, Report
from network.pipeline.intake.receive import Receipt, Sender, receive
from network.pipeline.settle import settle
from network.quality.verdict import MISSING, verdict_of
from network.wire.message import decode
from stations.models import Calibration, Clock
from tests.network.made_village import FOUNDED, JSON, channel, found_village, settle_station
from tests.published.power import COUNT_AT_14_4, DIVIDERS
from tests.published.rains import TIPS

pytestmark = pytest.mark.django_db
NOON = int(datetime(2026, 3, 27, 12, tzinfo=UTC).timestamp())


@pytest.fixture
def station():
    return settle_station(found_village(), "Brook", ())


def calibrated(station, variable, kind, **figures):
    made = channel(station, variable, "count")
    Calibration.objects.create(channel=made, begins_at=FOUNDED, kind=kind, parameters=figures)
    return made.name


def say(station, *observations, received_at=NOON + 86400.0):
    """Send each in a report of its own and let them be understood."""
    for one in observations:
        answer = receive(Sender.of(station), json.dumps(one).encode(), JSON, received_at)
        assert isinstance(answer, Receipt), answer
    settle()


def kept(station, variable):
    """Times and values, NaN where missing."""
    rows = Observation.objects.filter(station=station).order_by("observed_at")
    found = list(rows.values_list("observed_at", variable))
    return [at for at, _ in found], np.array([np.nan if v is None else v for _, v in found])


@pytest.mark.parametrize(
    "variable, unit, said, canonical",
    [
        # Freezing and boiling point, and exact definitions of the units: NIST SP 811, appendix B.8.
        ("air_temperature", "[degF]", 32.0, 273.15),
        ("air_temperature", "Cel", 21.4, 294.55),
        ("station_pressure", "[in_i'Hg]", 29.92, 101_320.7),
        ("station_pressure", "hPa", 1013.25, 101_325.0),
        ("wind_speed", "[mi_i]/h", 10.0, 4.4704),
        ("wind_speed", "km/h", 36.0, 10.0),
        ("rain_amount", "[in_i]", 0.1, 2.54),
        ("relative_humidity", "%", 81.0, 0.81),
    ],
)
def test_every_unit_becomes_the_canonical_one(station, variable, unit, said, canonical):
    name = channel(station, variable, unit).name
    say(station, {"time": NOON, name: said})
    times, values = kept(station, variable)
    assert times == [NOON]
    assert_allclose(values, canonical, rtol=2e-6)


def test_a_unit_the_device_names_goes_before_the_channels_own(station):
    name = channel(station, "air_temperature", "Cel").name
    say(station, {"time": NOON, name: {"value": 50.0, "unit": "[degF]"}})
    assert_allclose(kept(station, "air_temperature")[1], 283.15, atol=1e-4)


def test_a_wrong_dimension_makes_no_observation_and_stays_a_report(station):
    name = channel(station, "air_temperature", "Cel").name
    say(station, {"time": NOON, name: {"value": 50.0, "unit": "hPa"}})
    assert not Observation.objects.exists()
    assert Report.objects.count() == 1


def test_an_unknown_channel_is_kept_and_does_no_harm(station):
    name = channel(station, "air_temperature").name
    say(station, {"time": NOON, name: 10.0, "ghost": 3.0})
    assert_allclose(kept(station, "air_temperature")[1], 283.15)
    said = decode(bytes(Report.objects.get().body), JSON, NOON).said
    assert {one.name for one in said} == {name, "ghost"}


def test_a_divider_that_brings_twelve_volts_to_two_is_undone(station):
    # Common practice: 100 kΩ above 20 kΩ bring 12 V to 2 V at the pin; agreement with a bench supply within 0.1 V.
    name = calibrated(
        station,
        "battery_voltage",
        "divider",
        bits=10,
        reference_voltage=3.3,
        upper_resistance=100e3,
        lower_resistance=20e3,
    )
    at_pin = 12.0 * 20 / 120
    say(station, {"time": NOON, name: round(at_pin / 3.3 * 1023)})
    assert_allclose(kept(station, "battery_voltage")[1], 12.0, atol=0.1)


def test_a_dividers_count_is_the_computed_battery_voltage(station):
    upper, lower, battery, _ = DIVIDERS[0]
    name = calibrated(
        station,
        "battery_voltage",
        "divider",
        bits=10,
        reference_voltage=3.3,
        upper_resistance=upper,
        lower_resistance=lower,
    )
    say(station, {"time": NOON, name: COUNT_AT_14_4})
    assert_allclose(kept(station, "battery_voltage")[1], battery, atol=0.02)


def test_rotor_pulses_become_wind_and_a_still_rotor_is_a_calm(station):
    # By hand: 500 pulses in 300 s are 1.667 a second, each 2.4 m of wind, above a line that meets zero at 0.4 m/s.
    name = calibrated(
        station, "wind_speed", "rotor", metres_per_pulse=2.4, offset=0.4, threshold=0.5, period=300
    )
    say(station, {"time": NOON, name: 500}, {"time": NOON + 300, name: 0})
    assert_allclose(kept(station, "wind_speed")[1], [4.4, 0.0], atol=1e-5)


@pytest.mark.parametrize("funnel, tip, millimetres", TIPS)
def test_tips_are_as_much_rain_as_the_bucket_holds_over_the_funnel(station, funnel, tip, millimetres):
    per_tip = round(10 * tip / funnel, 5)
    name = calibrated(station, "rain_amount", "tips", millimetres_per_tip=per_tip, counts="period")
    say(station, {"time": NOON, name: 7})
    assert_allclose(kept(station, "rain_amount")[1], 7 * millimetres, rtol=1e-4)


def total(station, modulus=None):
    figures = {"millimetres_per_tip": 0.2, "counts": "total"} | ({"modulus": modulus} if modulus else {})
    return calibrated(station, "rain_amount", "tips", **figures)


def test_a_running_total_that_wraps_loses_no_tip(station):
    # By hand: 65530 to 4 of 65536 is 10 tips, 2 mm; nothing is known of what fell before the first count.
    name = total(station, 65536)
    say(station, *({"time": NOON + 300 * i, name: n} for i, n in enumerate((65530, 4, 4, 5))))
    assert_allclose(kept(station, "rain_amount")[1], [np.nan, 2.0, 0.0, 0.2], atol=1e-5)


def test_a_running_total_that_resets_counts_what_fell_since(station):
    name = total(station)
    say(station, *({"time": NOON + 300 * i, name: n} for i, n in enumerate((50, 53, 2, 2))))
    assert_allclose(kept(station, "rain_amount")[1], [np.nan, 0.6, 0.4, 0.0], atol=1e-5)


def test_a_running_total_goes_on_from_block_to_block_whatever_comes_first(station):
    name = total(station)
    midnight = NOON + 43200
    said = [{"time": midnight + 300 * i, name: 10 + i} for i in (-1, 0, 1)]
    say(station, said[2])
    say(station, said[1])
    say(station, said[0])
    assert_allclose(kept(station, "rain_amount")[1], [np.nan, 0.2, 0.2], atol=1e-5)


def test_a_total_after_a_silence_of_more_than_a_day_is_the_same_however_it_was_sent(station):
    name = total(station)
    said = [{"time": NOON, name: 10}, {"time": NOON + 144000, name: 25}, {"time": NOON + 144300, name: 26}]
    say(station, *said, received_at=NOON + 3 * 86400.0)
    alone = kept(station, "rain_amount")
    other = settle_station(station.village, "Mill", ())
    name = total(other)
    answer = receive(Sender.of(other), json.dumps(said).encode(), JSON, NOON + 3 * 86400.0)
    assert isinstance(answer, Receipt)
    settle()
    together = kept(other, "rain_amount")
    assert alone[0] == together[0]
    assert_allclose(alone[1], together[1])


def test_a_clock_that_is_fast_is_put_right(station):
    name = channel(station, "air_temperature").name
    Clock.objects.create(station=station, begins_at=FOUNDED, fast_by=3600)
    say(station, {"time": NOON + 3600, name: 10.0})
    assert kept(station, "air_temperature")[0] == [NOON]


def test_a_stamp_of_the_start_becomes_the_end_of_the_period(station):
    name = channel(station, "air_temperature").name
    Clock.objects.create(station=station, begins_at=FOUNDED, stamps="start")
    say(station, {"time": NOON, name: 10.0})
    assert kept(station, "air_temperature")[0] == [NOON + 300]


def test_local_times_are_utc_by_the_rule_of_their_day(station):
    # Europe/Zurich: UTC+1 until 2026-03-29 01:00 UTC, then UTC+2 (Directive 2000/84/EC: last Sunday of March).
    name = channel(station, "air_temperature").name
    Clock.objects.create(station=station, begins_at=FOUNDED, zone="Europe/Zurich")
    later = datetime(2026, 3, 30, tzinfo=UTC).timestamp()
    say(
        station,
        {"time": "2026-03-29T01:55:00", name: 1.0},
        {"time": "2026-03-29T03:00:00", name: 2.0},
        received_at=later,
    )
    times, _ = kept(station, "air_temperature")
    assert times == [
        int(datetime(2026, 3, 29, hour, minute, tzinfo=UTC).timestamp()) for hour, minute in ((0, 55), (1, 0))
    ]


def test_two_values_of_one_instant_are_noted_and_the_smaller_is_kept(station):
    name = channel(station, "air_temperature").name
    say(station, {"time": NOON, name: 12.0}, {"time": NOON, name: 10.0})
    row = Observation.objects.get()
    assert row.air_temperature == pytest.approx(283.15, abs=1e-4)
    assert row.said_twice == 1


def test_what_is_derived_stands_beside_what_it_came_from(station):
    # Dew point 9.26 °C at 20 °C and 50 % (Magnus over water, WMO-No. 8 annex 4.B; computed).
    warm, damp = channel(station, "air_temperature").name, channel(station, "relative_humidity").name
    say(station, {"time": NOON, warm: 20.0, damp: 50})
    assert Observation.objects.get().dew_point == pytest.approx(273.15 + 9.26, abs=0.01)


def test_a_reading_that_is_not_there_is_marked_missing_only_where_the_station_measures_it(station):
    warm, damp = channel(station, "air_temperature").name, channel(station, "relative_humidity").name
    say(station, {"time": NOON, warm: 20.0, damp: 50}, {"time": NOON + 300, warm: 20.0})
    second = Observation.objects.get(observed_at=NOON + 300)
    assert verdict_of(second.relative_humidity_mark) == MISSING
    assert second.wind_speed_mark is None
