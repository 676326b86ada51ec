"""The past keeps the metadata of its day: after a station has counted, every change opens a new period."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from stations import history
from stations.models import Calibration, Channel, Instrument, Placement
from tests.stations.conftest import SINCE

LATER = SINCE + timedelta(days=30)
THERE = {"latitude": 47.315, "longitude": 8.92, "elevation": 470.0}


def refitted(channel, unit="Cel", name="temp", **figures):
    """The same instrument described anew."""
    return history.refit(channel, {"accuracy": 0.4} | figures, {"name": name, "unit": unit}, LATER)


def test_moving_a_live_station_ends_one_placement_and_begins_the_next(homes):
    history.place(homes.live(), LATER, **THERE)
    old, new = homes.station.placements.all()
    assert (old.latitude, old.begins_at, old.ends_at) == (47.31, SINCE, LATER)
    assert (new.latitude, new.begins_at, new.ends_at) == (47.315, LATER, None)


def test_saying_the_same_place_again_moves_nothing(homes):
    history.place(homes.live(), LATER, latitude=47.31, longitude=8.91, elevation=440)
    assert Placement.objects.get().begins_at == SINCE


def test_a_drafts_place_is_put_right_and_what_it_has_begins_with_it(homes):
    earlier = SINCE - timedelta(days=9)
    history.place(homes.station, earlier, **THERE)
    assert Placement.objects.get().latitude == 47.315
    assert {row.begins_at for model in (Placement, Instrument, Channel) for row in model.objects.all()} == {
        earlier
    }


def test_a_swapped_instrument_of_a_live_station_begins_a_new_period(homes):
    homes.live()
    new = refitted(homes.thermometer, accuracy=0.2)
    homes.thermometer.refresh_from_db()
    assert homes.thermometer.ends_at == homes.thermometer.instrument.ends_at == new.begins_at == LATER
    assert (homes.thermometer.instrument.accuracy, new.instrument.accuracy) == (0.4, 0.2)


def test_a_renamed_channel_keeps_its_instrument_and_its_calibration(homes):
    history.calibrate(homes.thermometer, SINCE, "gain_offset", {"offset": -0.4}, "", None)
    homes.live()
    new = refitted(homes.thermometer, name="t2")
    assert new.instrument == homes.thermometer.instrument
    assert new.calibrations.get().parameters == {"offset": -0.4}
    assert homes.thermometer.calibrations.get().begins_at == SINCE


def test_a_swapped_sensor_does_not_inherit_the_calibration(homes):
    history.calibrate(homes.thermometer, SINCE, "gain_offset", {"offset": -0.4}, "", None)
    homes.live()
    assert not refitted(homes.thermometer, accuracy=0.2).calibrations.exists()


def test_a_draft_is_put_right_in_place(homes):
    refitted(homes.thermometer, accuracy=0.2, unit="[degF]")
    assert Instrument.objects.get().accuracy == 0.2
    assert Channel.objects.get().unit == "[degF]"


def test_an_instrument_taken_away_stays_in_the_record(homes):
    homes.live()
    history.remove(homes.thermometer, LATER)
    assert Instrument.objects.get().ends_at == Channel.objects.get().ends_at == LATER


def test_a_new_calibration_leaves_the_old_one_to_the_past(homes):
    history.calibrate(homes.thermometer, SINCE, "gain_offset", {"offset": -0.4}, "", None)
    homes.live()
    history.calibrate(homes.thermometer, LATER, "gain_offset", {"offset": 0.1}, "", None)
    assert [made.begins_at for made in Calibration.objects.all()] == [SINCE, LATER]


def test_a_raw_channels_first_calibration_holds_from_its_beginning(homes):
    homes.live()
    gauge = history.fit(homes.station, {"variable": "rain_amount"}, {"name": "tips", "unit": "count"}, SINCE)
    made = history.calibrate(gauge, LATER, "tips", {"millimetres_per_tip": 0.2}, "", None)
    assert made.begins_at == SINCE


def test_a_changed_clock_begins_a_new_period_and_keeps_how_fast_it_is(homes):
    history.set_clock(homes.station, SINCE, zone="UTC", stamps="end")
    homes.station.clocks.update(fast_by=3600)
    homes.live()
    new = history.set_clock(homes.station, LATER, zone="Europe/Zurich", stamps="end")
    assert (new.begins_at, new.fast_by) == (LATER, 3600)
    assert homes.station.clocks.first().ends_at == LATER


@pytest.mark.parametrize("since", [SINCE, SINCE - timedelta(days=1)])
def test_the_past_is_not_rewritten(homes, since):
    homes.live()
    with pytest.raises(ValidationError, match="choose a later moment"):
        history.place(homes.station, since, **THERE)
    assert Placement.objects.get().latitude == 47.31


def test_a_change_that_is_still_to_come_is_refused(homes):
    homes.live()
    with pytest.raises(ValidationError, match="still to come"):
        history.remove(homes.thermometer, timezone.now() + timedelta(hours=1))


def test_a_live_station_that_stood_there_before_begins_earlier_with_all_it_has(homes):
    earlier, station = SINCE - timedelta(days=2), homes.live()
    history.place(station, earlier, latitude=47.31, longitude=8.91, elevation=440)
    station.refresh_from_db()
    assert station.counts_from == earlier
    assert {row.begins_at for model in (Placement, Instrument, Channel) for row in model.objects.all()} == {
        earlier
    }
