"""The steward's verbs: each takes effect everywhere, touches nothing else, and is undone exactly."""

from datetime import UTC, datetime

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.models import Case, Decision, Notice, VillageMap
from network.pipeline.settle import settle
from network.pipeline.verbs import decisions
from network.pipeline.verbs.decisions import NotPossible
from network.pipeline.verdicts.steward import STEWARD
from stations.models import Calibration, Channel, Clock, DeviceKey, Station
from tests.network.made_village import FOUNDED, make_village
from tests.network.pipeline import doubted
from tests.network.pipeline.doubted import (
    celsius,
    doubted_village,
    steward_of,
    the_case,
    the_mill,
    truth,
    verdicts,
)
from tests.network.pipeline.state import assert_nothing_is_left_to_do, assert_same, state

Kind = Decision.Kind
GOOD, DOUBTFUL, WRONG = 0, 2, 3  # BUFR code table 0 33 020

pytestmark = pytest.mark.django_db


def metadata() -> list[list[tuple]]:
    """Everything a decision could have changed about stations."""
    tables = (Channel, Calibration, Clock, Station, DeviceKey)
    return [list(table.objects.order_by("pk").values_list()) for table in tables]


def maps_using(station: Station, variable: str = "air_temperature") -> int:
    maps = VillageMap.objects.filter(variable=variable)
    return sum(any(key == station.pk for key, _ in one.used) for one in maps)


def test_a_change_of_unit_mends_every_reading_and_its_undoing_brings_all_back():
    village = doubted_village(doubted.fahrenheit)
    by, before, known = steward_of(village), state(), metadata()
    assert verdicts(the_mill()) == {WRONG}
    decision = decisions.settle(the_case(), Kind.CHANGE_UNIT, by, unit="[degF]")
    settle()
    assert_nothing_is_left_to_do()
    # A tenth of a degree Fahrenheit is what the device rounds to.
    assert_allclose(celsius(the_mill()), truth(the_mill()), rtol=0, atol=0.1)
    assert verdicts(the_mill()) == {GOOD}
    assert not Case.objects.filter(station=the_mill()).exists()
    assert maps_using(the_mill()) > 0
    decisions.undo(decision, by)
    settle()
    assert metadata() == known
    assert_same(before, state())


def test_a_changed_unit_begins_where_the_fault_does_and_keeps_the_calibration_that_held():
    village = doubted_village(lambda said: said)
    mill, by = the_mill(), steward_of(village)
    channel = mill.channels.get()
    Calibration.objects.create(
        channel=channel, begins_at=FOUNDED, kind="gain_offset", parameters={"gain": 1.0, "offset": -0.3}
    )
    begins = int(doubted.TIMES[72])
    case = Case.objects.create(
        station=mill, variable="air_temperature", seen_in="air_temperature", check_name="unit_hypothesis", begins_at=begins,
        ends_at=int(doubted.TIMES[-1]), readings=72, verdict=WRONG, strain=9.0, weight=8.0,
    )  # fmt: skip
    known = metadata()
    decision = decisions.settle(case, Kind.CHANGE_UNIT, by, unit="K")
    old, new = mill.channels.order_by("begins_at")
    assert old.ends_at == new.begins_at == datetime.fromtimestamp(begins, UTC)
    assert (old.unit, new.unit) == ("Cel", "K")
    assert new.calibrations.get().parameters == {"gain": 1.0, "offset": -0.3}
    decisions.undo(decision, by)
    assert metadata() == known


def test_a_calibration_adds_to_the_one_in_force_and_recomputes_the_readings():
    village = doubted_village(doubted.reads_high)
    mill, by = the_mill(), steward_of(village)
    Calibration.objects.create(
        channel=mill.channels.get(), begins_at=FOUNDED, kind="gain_offset", parameters={"offset": -0.5}
    )
    settle()
    before, known = state(), metadata()
    decision = decisions.settle(the_case(), Kind.CALIBRATE, by, offset=-7.5)
    settle()
    # It reads 8.0 degrees high by construction, of which 0.5 were taken off already.
    assert_allclose(celsius(mill), truth(mill), rtol=0, atol=0.01)
    assert verdicts(mill) == {GOOD}
    decisions.undo(decision, by)
    settle()
    assert metadata() == known
    assert_same(before, state())


def test_believed_readings_are_good_and_their_undoing_doubts_them_again():
    village = doubted_village(doubted.reads_high)
    by, before = steward_of(village), state()
    decision = decisions.settle(the_case(), Kind.BELIEVE, by, "The brook fog was real.")
    assert the_case().settled_at is not None  # at once, before any worker looks
    settle()
    assert verdicts(the_mill()) == {GOOD}
    assert (doubted.rows(the_mill(), "air_temperature_mark").astype(np.int64) & STEWARD).any()
    assert maps_using(the_mill()) > 0
    assert the_case().settled_at is not None
    decisions.undo(decision, by)
    settle()
    assert_same(before, state())


def test_rejected_readings_are_wrong_with_all_that_is_derived_from_them_and_good_ones_stay_good():
    hours = iter(range(144))
    village = doubted_village(
        lambda said: said + (9.0 if next(hours) >= 72 else 0.0), ("air_temperature", "relative_humidity")
    )
    mill, by = the_mill(), steward_of(village)
    decisions.settle(the_case(), Kind.BELIEVE, by)
    settle()
    assert verdicts(mill) == {GOOD}
    decisions.settle(the_case(), Kind.REJECT, by)  # the later word counts
    settle()
    marks = doubted.rows(mill, "air_temperature_mark").astype(np.int64)
    dew_point = doubted.rows(mill, "dew_point_mark").astype(np.int64)
    assert (marks[80:] & 7 == WRONG).all()
    assert (marks[80:] & STEWARD).all()
    assert (dew_point[80:] & 7 == WRONG).all()
    assert (marks[:60] & 7 == GOOD).all()
    assert verdicts(mill, "relative_humidity") == {GOOD}


def test_a_variable_set_aside_leaves_the_maps_and_keeps_its_verdicts():
    village = doubted_village(doubted.reads_high, stations=5)
    brook, by = Station.objects.get(name="Brook"), steward_of(village)
    case = Case.objects.create(
        station=brook, variable="air_temperature", seen_in="air_temperature", check_name="departure", begins_at=int(doubted.TIMES[0]),
        ends_at=int(doubted.TIMES[6]), readings=7, verdict=DOUBTFUL, strain=1.2, weight=2.0,
    )  # fmt: skip
    before, given = maps_using(brook), verdicts(brook)
    assert before > 0
    decision = decisions.settle(case, Kind.SET_ASIDE, by)
    settle()
    assert maps_using(brook) == 0
    assert verdicts(brook) == given
    decisions.undo(decision, by)
    settle()
    assert maps_using(brook) == before


def test_a_kept_verdict_changes_nothing_but_the_desk():
    village = doubted_village(doubted.reads_high)
    before = state()
    decisions.settle(the_case(), Kind.KEEP, steward_of(village))
    settle()
    after = state()
    assert {name for name in before if before[name] != after[name]} == {"Case"}
    assert not Case.objects.open().filter(station=the_mill()).exists()


def test_gusts_follow_their_wind_into_another_unit_and_back():
    village = make_village(2, ("wind_speed", "wind_gust"))
    mill, by = the_mill(), steward_of(village)
    case = Case.objects.create(
        station=mill, variable="wind_speed", seen_in="wind_speed", check_name="unit_hypothesis", readings=9,
        begins_at=int(doubted.TIMES[0]), ends_at=int(doubted.TIMES[-1]), verdict=WRONG, strain=9.0, weight=1.0,
    )  # fmt: skip
    known = metadata()
    decision = decisions.settle(case, Kind.CHANGE_UNIT, by, unit="km/h")
    assert set(mill.channels.values_list("unit", flat=True)) == {"km/h"}
    decisions.undo(decision, by)
    assert metadata() == known


def test_a_question_is_told_to_the_keeper_and_needs_words():
    village = doubted_village(doubted.reads_high)
    by = steward_of(village)
    with pytest.raises(NotPossible, match="Say what you would like to know"):
        decisions.settle(the_case(), Kind.ASK, by)
    decisions.settle(the_case(), Kind.ASK, by, "Was it moved?")
    assert "Was it moved?" in Notice.objects.get(station=the_mill()).words
    assert the_case().settled_at is None


def test_decisions_that_stand_on_one_another_are_undone_last_one_first():
    village = doubted_village(doubted.reads_high)
    by = steward_of(village)
    first = decisions.settle(the_case(), Kind.CHANGE_UNIT, by, unit="K")
    second = decisions.settle(the_case(), Kind.CALIBRATE, by, offset=1.0)
    with pytest.raises(NotPossible, match="A later decision stands on this one"):
        decisions.undo(first, by)
    decisions.undo(second, by)
    decisions.undo(first, by)
    with pytest.raises(NotPossible, match="undone already"):
        decisions.undo(first, by)


@pytest.mark.parametrize(
    ("kind", "given", "says"),
    [
        (Kind.CHANGE_UNIT, {}, "Say which unit"),
        (Kind.CHANGE_UNIT, {"unit": "hPa"}, "not of temperature"),
        (Kind.CHANGE_UNIT, {"unit": "Cel"}, "speaks that unit already"),
        (Kind.CALIBRATE, {}, "Say how much"),
        (Kind.APPROVE, {}, "not a decision about a case"),
    ],
)
def test_what_cannot_be_decided_is_refused_with_a_sentence_and_leaves_no_trace(kind, given, says):
    village = make_village(2, ("air_temperature",))
    case = Case.objects.create(
        station=the_mill(), variable="air_temperature", seen_in="air_temperature", check_name="departure", begins_at=0, ends_at=600,
        readings=2, verdict=WRONG, strain=3.0, weight=1.0,
    )  # fmt: skip
    Channel.objects.update(begins_at=datetime(1970, 1, 1, tzinfo=UTC))
    with pytest.raises(NotPossible, match=says):
        decisions.settle(case, kind, steward_of(village), **given)
    assert not Decision.objects.exists()
    assert not Notice.objects.exists()


def test_every_decision_nudges_a_worker_once_it_is_durable(django_capture_on_commit_callbacks):
    village = make_village(2)
    with django_capture_on_commit_callbacks() as waiting:
        decisions.pause(the_mill(), steward_of(village))
    assert waiting
