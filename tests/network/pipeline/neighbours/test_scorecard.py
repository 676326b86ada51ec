"""The scorecard as kept and read again, and how regularly a station reports."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from network.models import Comparison, Score
from network.models.storage import Rows, insert
from network.pipeline.ledger import blocks
from network.pipeline.neighbours.scorecard import kept, regularity, row_of, scores
from network.pipeline.settle import settle
from network.quality.scorecard import Scored
from stations.models import Station
from tests.network.made_village import Report, deliver, found_village, settle_station

SPELL = int(datetime(2025, 6, 1, tzinfo=UTC).timestamp()) // blocks.SPELL * blocks.SPELL
END = SPELL + blocks.SPELL
KEPT = Scored(1, "air_temperature", 0.1, 0.05, 0.4, 0.3, 0.2, 0.4, 720, 60.0, "collocation")


@pytest.fixture
def station(db) -> Station:
    return settle_station(found_village(), "Green")


def compared(station: Station, departures: np.ndarray) -> None:
    """Departures of the air temperature for the last frames before the end, expected to 0.4 K."""
    at = END - blocks.FRAME * np.arange(departures.size, dtype=np.int64)[::-1]
    columns = {"air_temperature": departures, "air_temperature_error": np.full(departures.size, 0.4)}
    insert(Comparison, Rows(np.full(at.size, station.pk), at, columns))


def test_a_score_kept_is_the_score_read_and_what_was_not_known_stays_so(station):
    one = Scored(station.pk, "dew_point", 0.1, np.nan, 0.4, np.nan, 0.0, np.nan, 40, 1.0, "departures")
    row_of(one, SPELL).save()
    assert Score.objects.get().random_error is None
    assert str(kept([station.pk], END)[station.pk, "dew_point"]) == str(one)


def test_a_scorecard_stands_from_the_end_of_its_spell_until_it_is_stale(station):
    row_of(replace(KEPT, station=station.pk), SPELL).save()
    assert kept([station.pk], END) and not kept([station.pk], END - 1)
    assert not kept([station.pk], END + 4 * blocks.SPELL)


def test_the_bias_is_of_the_last_days_and_the_scatter_from_the_card(station):
    row_of(replace(KEPT, station=station.pk), SPELL).save()
    compared(station, 1.0 + 0.1 * np.random.default_rng(1).standard_normal(600))
    (recent,) = scores(station.pk, SPELL, END, *station.village.centre)
    assert recent.scored.bias == pytest.approx(1.0, abs=0.02)
    assert recent.scored.random_error == 0.3 and recent.scored.method == "collocation"
    assert recent.by_day == pytest.approx(1.0, abs=0.05) and recent.by_night == pytest.approx(1.0, abs=0.05)


def test_six_hours_are_needed(station):
    compared(station, np.zeros(35))
    assert scores(station.pk, SPELL, END, *station.village.centre) == []


def test_late_reports_are_counted(station):
    begin = END - 3000
    deliver([Report(station.pk, ({"time": begin + 300 * i, "t": 15.0},)) for i in range(9)])
    station.reports.filter(last_at=begin + 2400).update(received_at=END + 7200.0)
    settle()
    found = regularity(station.pk, begin - 1, END, 300)
    assert found is not None and found.late == pytest.approx(1 / 9)
