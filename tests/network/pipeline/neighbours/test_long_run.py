"""The long run in the pipeline: what weeks show marks the readings, and the end does not depend on the way."""

import numpy as np
import pytest
from django.contrib.auth.models import User
from django.db import transaction

from network.models import Case, Comparison, Decision, Finding, Observation, Work
from network.models.comparison import DEPARTURES
from network.models.storage import read
from network.pipeline.ledger import work
from network.pipeline.rebuild import forget
from network.pipeline.settle import settle
from network.pipeline.stages import STAGES
from network.pipeline.verbs import decisions
from network.quality.checks import CHECKS
from network.quality.verdict import DOUBTFUL, GOOD, WRONG, otherwise_good, reasons_of, verdict_of
from stations.models import Station
from tests.network.made_village import NAMES, Report, deliver, found_village, observations, settle_station
from tests.network.pipeline.state import assert_nothing_is_left_to_do, assert_same, state
from tests.village import five_minutes

TIMES = five_minutes("2026-04-05", 14)[1::2]  # every ten minutes is enough for weeks
FALSE, TOO_WARM = "Green", 1.5
BROKE_AT = int(TIMES[0]) + 8 * 86400

pytestmark = pytest.mark.django_db


def told(station: Station) -> list[Report]:
    """What a station says over the fortnight, a day in a report; one reads too warm for the last six days."""
    said = observations(station, TIMES)
    if station.name == FALSE:
        said = [one | {"t": round(one["t"] + TOO_WARM * (one["time"] > BROKE_AT), 1)} for one in said]
    return [Report(station.pk, tuple(said[first : first + 144])) for first in range(0, len(said), 144)]


@pytest.fixture(scope="module")
def fortnight(django_db_setup, django_db_blocker):
    """The village with everything said and done; whatever is done here is rolled back."""
    with django_db_blocker.unblock(), transaction.atomic():
        village = found_village()
        for name in NAMES[:6]:
            deliver(told(settle_station(village, name, report_every=600)))
        settle()
        yield village
        transaction.set_rollback(True)


def marks(name: str) -> tuple[np.ndarray, np.ndarray]:
    station = Station.objects.get(name=name).pk
    rows = read(Observation, [station], 0, 1 << 40, ("air_temperature_mark",))
    return rows.at, rows.columns["air_temperature_mark"].astype(np.int64)


def test_a_break_of_one_and_a_half_degrees_makes_the_readings_after_it_doubtful(fortnight):
    at, mark = marks(FALSE)
    late = at > BROKE_AT + 86400
    assert (verdict_of(mark[late]) >= DOUBTFUL).mean() > 0.95
    assert (verdict_of(mark[at < BROKE_AT - 86400]) == GOOD).mean() > 0.95
    spoke = {name for each in mark[late] for name in reasons_of(int(each))}
    assert any(CHECKS[name].family == "long run" for name in spoke)


def test_only_the_station_that_broke_is_found(fortnight):
    assert {one.station.name for one in Finding.objects.all()} == {FALSE}
    for name in NAMES[:6]:
        if name != FALSE:
            assert (verdict_of(marks(name)[1]) == GOOD).mean() > 0.99


def test_what_the_long_run_doubts_is_remembered_as_good_otherwise(fortnight):
    _, mark = marks(FALSE)
    only_long_run = [
        each
        for each in mark[verdict_of(mark) == DOUBTFUL]
        if all(CHECKS[name].family == "long run" for name in reasons_of(int(each)))
    ]
    assert len(only_long_run) and otherwise_good(np.array(only_long_run)).all()


@pytest.mark.parametrize("rejected", [False, True])
def test_departures_do_not_depend_on_findings(fortnight, rejected):
    # Without the findings every comparison is the same: so looking back never judges by its own judgement.
    village = fortnight
    with transaction.atomic():
        if rejected:
            case = Case.objects.filter(station__name=FALSE, variable="air_temperature").latest("readings")
            decisions.settle(case, Decision.Kind.REJECT, User.objects.create_user("steward"))
            while work.do_next(STAGES, village.pk) is not None:
                pass
            assert (verdict_of(marks(FALSE)[1]) == WRONG).mean() > 0.3
        assert_departures_stay_without_findings(village)
        transaction.set_rollback(True)


def assert_departures_stay_without_findings(village):
    stations = list(Station.objects.of(village).values_list("pk", flat=True))
    before = read(Comparison, stations, 0, 1 << 40, DEPARTURES)
    with transaction.atomic():
        Finding.objects.all().delete()
        first, last = int(TIMES[0]), int(TIMES[-1])
        work.mark_checks(village.pk, first, last)
        while (piece := work.do_next(STAGES, village.pk)) is not None:
            assert piece.stage != Work.Stage.LONG_RUN
        assert (verdict_of(marks(FALSE)[1]) == GOOD).mean() > 0.9  # they did matter to the verdicts
        after = read(Comparison, stations, 0, 1 << 40, DEPARTURES)
        transaction.set_rollback(True)
    np.testing.assert_array_equal(before.matrix(), after.matrix())


def test_a_day_at_a_time_in_any_order_ends_as_a_rebuild_does(fortnight):
    village = fortnight
    with transaction.atomic():
        forget(village)
        settle()
        clean = state()
        transaction.set_rollback(True)
    assert_same(clean, state())
    random = np.random.default_rng(4)
    with transaction.atomic():
        forget(village)
        for piece in random.permutation(list(Work.objects.values_list("pk", flat=True))):
            Work.objects.filter(pk=piece).update(due_at=9e12)
        for piece in random.permutation(list(Work.objects.values_list("pk", flat=True))):
            Work.objects.filter(pk=piece).update(due_at=0.0)
            settle()  # each day by itself, and the long run after each
        assert_nothing_is_left_to_do()
        assert_same(clean, state())
        transaction.set_rollback(True)


def test_the_long_run_waits_an_hour_and_then_looks_once(fortnight):
    village = fortnight
    with transaction.atomic():
        work.mark_observations(village.pk, int(TIMES[-2]), int(TIMES[-1]))
        while (piece := work.do_next(STAGES, village.pk)) is not None:
            assert piece.stage != Work.Stage.LONG_RUN
        waiting = Work.objects.filter(village=village).values_list("stage", flat=True)
        assert set(waiting) == {Work.Stage.LONG_RUN, Work.Stage.LEARN}
        transaction.set_rollback(True)
