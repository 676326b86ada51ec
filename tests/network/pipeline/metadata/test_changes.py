"""When metadata changes, the span it touches is marked, and nothing else."""

from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError

from network.models import Report, Work
from network.pipeline.ledger import blocks
from network.pipeline.settle import settle
from stations.models import Calibration, Placement, SitingNote, Station
from tests.network.made_village import FOUNDED, found_village, settle_station
from tests.network.pipeline.told import village_of
from tests.village import five_minutes

pytestmark = pytest.mark.django_db
TIMES = five_minutes("2026-04-08", 3)
SINCE = datetime(2026, 4, 10, 6, tzinfo=UTC)


@pytest.fixture
def station():
    village = village_of(3, TIMES[::6])
    assert not Work.objects.exists()
    return Station.objects.of(village).first()


def marked():
    return sorted(Work.objects.filter(stage=Work.Stage.NORMALISE).values_list("block", flat=True))


def test_a_calibration_touches_what_comes_after_it(station):
    Calibration.objects.create(
        channel=station.channels.first(), begins_at=SINCE, kind="gain_offset", parameters={"gain": 1.1}
    )
    assert min(marked()) == blocks.block_of(SINCE.timestamp())
    assert max(marked()) >= blocks.block_of(TIMES[-1])


def test_taking_it_back_touches_the_same(station):
    made = Calibration.objects.create(
        channel=station.channels.first(), begins_at=SINCE, kind="gain_offset", parameters={"gain": 1.1}
    )
    before = marked()
    settle()
    made.delete()
    assert marked() == before


def test_moving_touches_what_comes_after_the_move(station):
    old = station.placements.get()
    old.ends_at = SINCE
    old.save()
    Work.objects.all().delete()
    Placement.objects.create(station=station, latitude=47.31, longitude=8.91, elevation=450, begins_at=SINCE)
    assert min(marked()) == blocks.block_of(SINCE.timestamp())


def test_a_clock_set_after_midnight_touches_the_day_before_into_which_it_moves_readings(station):
    midnight = datetime(2026, 4, 10, tzinfo=UTC)
    station.clocks.create(begins_at=midnight + timedelta(minutes=10), fast_by=1800)
    assert min(marked()) == blocks.block_of(midnight.timestamp() - 1)


def test_a_siting_note_touches_its_placement(station):
    note = SitingNote(placement=station.placements.get(), variable="air_temperature", siting_class=4)
    note.written_at = SINCE
    note.save()
    assert min(marked()) <= blocks.block_of(TIMES[0])
    assert Work.objects.filter(stage=Work.Stage.CHECK).exists()


def test_a_station_that_has_said_nothing_marks_nothing():
    quiet = settle_station(found_village(), "Brook")
    quiet.report_every = 600
    quiet.save()
    Calibration.objects.create(
        channel=quiet.channels.first(),
        begins_at=FOUNDED + timedelta(days=9),
        kind="gain_offset",
        parameters={},
    )
    assert not Work.objects.exists()


def test_one_report_of_long_ago_does_not_mark_all_the_years_since(station):
    Report.keep(
        station.pk,
        TIMES[-1],
        "application/json",
        b'{"time":946684800,"temp":1}',
        "old",
        946684800,
        946684800,
        "",
    )
    before = len(marked())
    station.report_every = 600
    station.save()
    assert len(marked()) - before < 30 and min(marked()) == blocks.block_of(946684800 - 12 * 3600)


def test_a_mistyped_threshold_is_refused_with_a_sentence(station):
    for wrong in ({"departure": {"air_temperature": "x"}}, {"departure": []}, {"nobody": {"x": 1.0}}):
        station.thresholds = wrong
        with pytest.raises(ValidationError, match="own thresholds"):
            station.full_clean()


def test_a_period_that_begins_later_than_noted_touches_what_it_leaves(station):
    channel = station.channels.first()
    channel.begins_at = SINCE
    channel.save()
    assert min(marked()) <= blocks.block_of(TIMES[0])
