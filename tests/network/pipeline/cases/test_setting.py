"""Clocks set right, work on a station, and a part of a case: each reaches its span, and is undone exactly."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.models import Case, Decision, Evidence, Notice, Observation
from network.models.storage import read
from network.pipeline.metadata.stretches import epoch
from network.pipeline.settle import settle
from network.pipeline.verbs import decisions
from network.pipeline.verbs.decisions import NotPossible
from network.pipeline.verdicts.steward import MAINTAINED
from stations.models import Clock, Station
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
from tests.network.pipeline.verbs.test_decisions import metadata

Kind = Decision.Kind
GOOD, DOUBTFUL, WRONG = 0, 2, 3  # BUFR code table 0 33 020

pytestmark = pytest.mark.django_db


def clock_case(ahead: int = 0, begins: int = 0) -> Case:
    """A case of the Mill's clock from some reading on, as the long run would raise it."""
    return Case.objects.create(
        station=the_mill(), variable="", seen_in="air_temperature", check_name="clock",
        begins_at=int(doubted.TIMES[begins]) + ahead, ends_at=int(doubted.TIMES[-1]) + ahead,
        readings=len(doubted.TIMES) - begins, verdict=DOUBTFUL, strain=5.0, weight=9.0,
    )  # fmt: skip


def said_at(station: Station) -> np.ndarray:
    """When the hub thinks the station read what it holds."""
    return read(Observation, [station.pk], 0, 1 << 40, ("air_temperature",)).at


def test_a_clock_set_right_puts_every_reading_at_its_true_time_and_its_undoing_puts_all_back():
    village = doubted_village(lambda said: said, clock_ahead=3600)
    by, before, known = steward_of(village), state(), metadata()
    assert said_at(the_mill())[0] == doubted.TIMES[0] + 3600
    decision = decisions.settle(clock_case(ahead=3600), Kind.FIX_CLOCK, by, fast_by=3600)
    settle()
    assert_nothing_is_left_to_do()
    # By construction its clock runs an hour ahead of the true time, all day long.
    assert (said_at(the_mill()) == doubted.TIMES).all()
    assert_allclose(celsius(the_mill()), truth(the_mill()), rtol=0, atol=0.05)
    assert verdicts(the_mill()) == {GOOD}
    decisions.undo(decision, by)
    settle()
    assert metadata() == known
    assert_same(before, state())


def test_a_clock_that_went_wrong_is_set_right_from_then_on_and_keeps_its_zone():
    village = doubted_village(lambda said: said)
    mill, by = the_mill(), steward_of(village)
    Clock.objects.create(station=mill, zone="Europe/Zurich", fast_by=60, begins_at=FOUNDED)
    settle()
    known = metadata()
    case = clock_case(begins=72)
    later = (case.begins_at + 1200, case.ends_at)
    decision = decisions.settle(case, Kind.FIX_CLOCK, by, span=later, fast_by=-600)
    first, second = Clock.objects.filter(station=mill).order_by("begins_at")
    # The clock shows a minute more than the true time, so the setting changes a minute later by it.
    assert epoch(first.ends_at) == epoch(second.begins_at) == later[0] + 60
    assert (second.zone, second.fast_by) == ("Europe/Zurich", -540)
    decisions.undo(decision, by)
    assert metadata() == known


@pytest.mark.parametrize(
    ("fast_by", "says"), [(0, "Say by how many minutes"), (90_000, "its keeper must set it")]
)
def test_a_clock_that_no_setting_mends_is_refused_with_a_sentence(fast_by, says):
    village = make_village(2, ("air_temperature",))
    with pytest.raises(NotPossible, match=says):
        decisions.settle(clock_case(), Kind.FIX_CLOCK, steward_of(village), fast_by=fast_by)
    assert not Clock.objects.exists()


def test_work_on_a_station_makes_all_it_said_meanwhile_wrong_without_a_case_and_its_undoing_brings_it_back():
    hours = iter(range(144))
    village = doubted_village(lambda said: said + (9.0 if 60 <= next(hours) < 72 else 0.0))
    mill, by, before = the_mill(), steward_of(village), state()
    assert Case.objects.filter(station=mill).exists()
    span = int(doubted.TIMES[54]), int(doubted.TIMES[78])
    decision = decisions.maintain(mill, by, span, "New batteries.")
    settle()
    assert_nothing_is_left_to_do()
    marks = doubted.rows(mill, "air_temperature_mark").astype(np.int64)
    assert (marks[54:79] & 7 == WRONG).all()
    assert (marks[54:79] & MAINTAINED).all()
    assert not (np.delete(marks, np.s_[54:79]) & MAINTAINED).any()
    assert not Case.objects.filter(station=mill).exists()
    assert not Evidence.objects.filter(station=mill, begins_at__range=span).exists()
    assert "New batteries." in Notice.objects.get(station=mill).words
    decisions.undo(decision, by)
    settle()
    assert_same(before, state())


def test_readings_may_be_overruled_over_a_part_of_a_case_only():
    village = doubted_village(doubted.reads_high)
    mill, by, before = the_mill(), steward_of(village), state()
    decision = decisions.settle(
        the_case(), Kind.BELIEVE, by, span=(int(doubted.TIMES[40]), int(doubted.TIMES[60]))
    )
    settle()
    marks = doubted.rows(mill, "air_temperature_mark").astype(np.int64) & 7
    assert (marks[40:61] == GOOD).all()
    assert (marks[10:40] != GOOD).all()
    assert the_case().settled_at is None  # what is left of it is still to be looked at
    decisions.undo(decision, by)
    settle()
    assert_same(before, state())
