"""Whatever the order, duplication, delay or crash, the end is what one clean rebuild makes, to the last bit."""

import time
from datetime import timedelta
from random import Random

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from network.models import Case, Decision, Observation
from network.pipeline.metadata.tongue import from_epoch
from network.pipeline.rebuild import forget
from network.pipeline.settle import settle
from network.pipeline.verbs import decisions
from stations.models import Calibration, Channel, Placement
from tests.network.made_village import deliver, one_by_one
from tests.network.pipeline import two_days
from tests.network.pipeline.state import assert_nothing_is_left_to_do, assert_same, state

pytestmark = pytest.mark.django_db  # so that there is a database for tests; the module's own fixtures fill it

without_shrinking = settings(
    max_examples=6, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate]
)


@pytest.fixture(scope="module")
def village(django_db_setup, django_db_blocker):
    """The village and what its stations say, for all tests here; whatever a test does is rolled back."""
    with django_db_blocker.unblock(), pytest.MonkeyPatch.context() as patch, transaction.atomic():
        patch.setattr(time, "time", lambda: two_days.NOW)
        yield two_days.village_with_faults()
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def in_order(village):
    """What comes of every observation sent once, alone and in order, when all work is done at the end."""
    with undone():
        deliver_in_order(*village)
        settle()
        return state()


def undone():
    """Everything within is rolled back at its end."""
    return _Undone()


class _Undone(transaction.Atomic):
    def __init__(self):
        super().__init__(using=None, savepoint=True, durable=False)

    def __exit__(self, *failure):
        transaction.set_rollback(True)
        return super().__exit__(*failure)


def deliver_in_order(village, said):
    stations = two_days.stations_of(village).values()
    reports = [report for station in stations for report in one_by_one(station, said[station.pk])]
    deliver(sorted(reports, key=lambda report: report.received_at))


def rebuilt(village):
    forget(village)
    settle()
    assert_nothing_is_left_to_do()
    return state()


def test_the_faults_are_found_so_that_there_is_something_to_compare(village, in_order):
    short = {
        name: rows
        for name, rows in in_order.items()
        if name not in ("Finding", "Score", "Skyline", "FieldFit")
    }  # two days hold no long run
    assert all(short.values()), {name: len(rows) for name, rows in short.items()}
    assert len(in_order["Observation"]) == sum(len(said) for said in village[1].values()) - 1


def test_one_delivery_in_order_equals_a_rebuild(village, in_order):
    with undone():
        deliver_in_order(*village)
        settle()
        assert_same(in_order, rebuilt(village[0]))


@without_shrinking
@given(seed=st.integers(0, 2**32 - 1), mishaps=st.lists(st.sampled_from(two_days.MISHAPS), max_size=12))
def test_any_order_duplication_delay_and_crash_end_in_the_same_bytes(village, in_order, seed, mishaps):
    where, said = village
    random = Random(seed)
    with undone():
        reports = two_days.out_of_order(two_days.in_batches(said, random), random)
        cuts = sorted(random.randrange(len(reports) + 1) for _ in mishaps)
        for mishap, first, last in zip([*mishaps, None], [0, *cuts], [*cuts, len(reports)], strict=True):
            half = (first + last) // 2
            deliver(reports[first:half])
            two_days.overtaken(random, reports[half:last])
            if mishap:
                mishap(random)
            two_days.claims_run_out()
        settle()
        assert_nothing_is_left_to_do()
        assert_same(in_order, state())
        if seed % 3 == 0:
            assert_same(in_order, rebuilt(where))


def midway(village, change):
    """Half of the reports, all worked through; the change; the other half. Returns the state then."""
    where, said = village
    stations = two_days.stations_of(where)
    for half in (slice(None, 150), slice(150, None)):
        for station in stations.values():
            deliver(one_by_one(station, said[station.pk][half]))
        settle()
        if half.start is None:
            change(stations)
            settle()
    assert_nothing_is_left_to_do()
    return state()


def middle(said):
    return from_epoch(next(iter(said.values()))[60]["time"])


def add_a_calibration(stations, at):
    channel = stations["Green"].channels.get(name="rh")
    Calibration.objects.create(
        channel=channel, begins_at=at, kind="gain_offset", parameters={"gain": 1.02, "offset": -0.01}
    )


def change_the_unit(stations, at):
    channel = Channel.objects.get(station=stations["Mill"], name="t")
    channel.unit = "[degF]"
    channel.save()


def move_the_station(stations, at):
    old = stations["Hill"].placements.get()
    old.ends_at = at
    old.save()
    Placement.objects.create(
        station=stations["Hill"], latitude=47.31, longitude=8.91, elevation=470, begins_at=at
    )


def set_the_clock(stations, at):
    stations["Brook"].clocks.create(begins_at=at - timedelta(days=5), fast_by=1800)


def pause_the_station(stations, at):
    station = stations["Green"]
    station.state, station.counts_until = "paused", at
    station.save()


@pytest.mark.parametrize(
    "change", [add_a_calibration, change_the_unit, move_the_station, set_the_clock, pause_the_station]
)
def test_metadata_that_changes_midway_counts_as_if_it_had_always_been_known(village, in_order, change):
    with undone():
        changed = midway(village, lambda stations: change(stations, middle(village[1])))
        assert changed != in_order
        assert_same(changed, rebuilt(village[0]))


def open_case():
    return Case.objects.filter(variable="air_temperature", station__name="Mill").order_by("begins_at").first()


@pytest.mark.parametrize(
    "kind, more",
    [
        (Decision.Kind.KEEP, {}),
        (Decision.Kind.BELIEVE, {}),
        (Decision.Kind.REJECT, {}),
        (Decision.Kind.SET_ASIDE, {}),
        (Decision.Kind.CHANGE_UNIT, {"unit": "[degF]"}),
        (Decision.Kind.CALIBRATE, {"offset": -20.0}),
    ],
)
def test_a_decision_made_midway_equals_a_rebuild_and_undone_it_leaves_no_trace(village, in_order, kind, more):
    made = []
    with undone():
        steward = User.objects.create_user("steward")
        decided = midway(
            village, lambda stations: made.append(decisions.settle(open_case(), kind, steward, "", **more))
        )
        assert_same(decided, rebuilt(village[0]))
        decisions.undo(made[0], steward)
        settle()
        assert_same(in_order, state())


def test_reports_alone_are_enough_when_everything_made_of_them_is_gone(village, in_order):
    with undone():
        deliver_in_order(*village)
        settle()
        Observation.objects.all().delete()
        assert_same(in_order, rebuilt(village[0]))
