"""The supply of a station: batteries whose nights are known, and what their keepers are told."""

import pytest

from network.models import Case, Notice
from network.pipeline.telling import notices
from network.pipeline.telling.power import power
from network.pipeline.telling.power_words import in_words
from stations.models import Station
from tests.network.powered import NOW, live, orchard


@pytest.fixture
def station(db) -> Station:
    return orchard()


def test_a_battery_that_sinks_is_foreseen_and_its_keeper_told_before_it_dies(station, monkeypatch):
    live(station, first=4.28, a_night=0.12, by_day=0.03)
    seen = power(station, NOW)
    assert seen is not None and seen.battery.chemistry == "lithium_ion" and seen.battery.told
    # Constructed: from 4.28 V 0.12 V a night and 0.03 V back a day; the charge is that of the table by hand.
    assert seen.volts[-1] == pytest.approx(4.28 - 9 * 0.12 + 8 * 0.03, abs=0.03)
    assert seen.outlook.charge == pytest.approx(0.15 + 0.14 * (3.46 - 3.42) / 0.15, abs=0.02)
    assert seen.ends_soon and 0.5 < seen.outlook.nights < 2.5
    monkeypatch.setattr(notices.time, "time", lambda: float(NOW))
    notices.write_of_batteries()
    notices.write_of_batteries()
    told = Notice.objects.get()
    assert told.words.startswith("Orchard: At this rate the battery lasts")
    assert "Even a clear day" in told.words
    assert "A report every 10 minutes instead of 5 would gain about" in told.words
    assert "assumed and not measured" in told.words and told.words.endswith("licensed electrician.")


def test_a_battery_and_the_readings_it_spoils_are_one_cause_told_once_a_day(station, monkeypatch):
    live(station, first=4.28, a_night=0.12, by_day=0.03)
    monkeypatch.setattr(notices.time, "time", lambda: float(NOW))
    Case.objects.create(
        station=station, variable="", seen_in="irradiance", check_name="supply", begins_at=NOW - 7200, ends_at=NOW - 600,
        readings=12, verdict=2, strain=1.1, weight=1.0,
    )  # fmt: skip
    notices.write_of_batteries()
    notices.write()
    assert Notice.objects.get().words.startswith("Orchard: At this rate the battery lasts")


def test_a_battery_that_fills_each_day_worries_nobody(station, monkeypatch):
    live(station, first=4.0, a_night=0.06, by_day=0.06)
    seen = power(station, NOW)
    assert seen is not None and not seen.ends_soon
    assert "they make up for the nights" in in_words(seen)[0]
    monkeypatch.setattr(notices.time, "time", lambda: float(NOW))
    notices.write_of_batteries()
    assert not Notice.objects.exists()


def test_a_keeper_s_own_word_on_what_reports_cost_changes_the_estimate(station):
    live(station, first=4.0, a_night=0.06, by_day=0.06)
    usual, told = power(station, NOW), power(station, NOW, awake=0.2)
    assert usual is not None and told is not None
    assert told.hours_gained(2) < usual.hours_gained(2)
    assert "20 % of what a night takes goes with the reports, as you say" in " ".join(in_words(told))


def test_mains_and_silence_have_no_nights_to_tell_of(station):
    assert power(station, NOW) is None
    station.instruments.filter(variable="battery_voltage").update(principle="")
    live(station, first=5.0, a_night=0.0, by_day=0.0)
    assert power(station, NOW) is None
