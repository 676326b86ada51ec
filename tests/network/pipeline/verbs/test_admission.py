"""Whether a station counts: the steward's verbs about its life, and their undoing."""

from datetime import timedelta

import pytest
from django.utils import timezone

from network.models import Notice, Work
from network.pipeline.verbs import decisions
from network.pipeline.verbs.decisions import NotPossible
from stations.models import DeviceKey, Station
from tests.network.made_village import FOUNDED, make_village
from tests.network.pipeline.doubted import (
    doubted_village,
    steward_of,
    the_mill,
)
from tests.network.pipeline.verbs.test_decisions import metadata

State = Station.State

pytestmark = pytest.mark.django_db


def test_an_approved_station_counts_and_undoing_makes_it_wait_again():
    village = doubted_village(lambda said: said)
    mill, by = the_mill(), steward_of(village)
    Station.objects.filter(pk=mill.pk).update(state=State.AWAITING, counts_from=None)
    Work.objects.all().delete()
    decision = decisions.approve(the_mill(), by)
    assert (the_mill().state, the_mill().counts_from) == (State.LIVE, FOUNDED)
    assert Work.objects.exists()  # its readings now count for all the others
    decisions.undo(decision, by)
    assert (the_mill().state, the_mill().counts_from) == (State.AWAITING, None)


def test_a_paused_station_keeps_its_past_and_may_count_again():
    village = make_village(2)
    by = steward_of(village)
    decisions.pause(the_mill(), by, "The mast is down.")
    paused = the_mill()
    assert (paused.state, paused.counts_from) == (State.PAUSED, FOUNDED)
    assert timezone.now() - paused.counts_until < timedelta(minutes=1)
    decisions.approve(paused, by)
    assert (the_mill().counts_from, the_mill().counts_until) == (FOUNDED, None)


def test_a_retired_station_loses_its_keys_and_gets_them_back_when_that_is_undone():
    village = make_village(2)
    by = steward_of(village)
    kept, _ = DeviceKey.issue(the_mill())
    lost, _ = DeviceKey.issue(the_mill())
    DeviceKey.objects.filter(pk=lost.pk).update(revoked_at=timezone.now())
    known = metadata()
    decision = decisions.retire(the_mill(), by)
    assert not the_mill().keys.filter(revoked_at=None).exists()
    decisions.undo(decision, by)
    assert metadata() == known
    assert the_mill().keys.get(revoked_at=None) == kept


def test_a_station_is_sent_back_to_where_it_came_from_with_what_is_missing():
    village = make_village(2)
    by = steward_of(village)
    with pytest.raises(NotPossible, match="Say what is missing"):
        decisions.send_back(the_mill(), by, " ")
    with pytest.raises(NotPossible, match="pause it instead"):
        decisions.send_back(the_mill(), by, "A photograph.")
    Station.objects.filter(pk=the_mill().pk).update(state=State.AWAITING, counts_from=None)
    decisions.send_back(the_mill(), by, "Say how high the thermometer hangs.")
    assert the_mill().state == State.DRAFT
    assert "how high the thermometer hangs" in Notice.objects.get(station=the_mill()).words


def test_a_station_cannot_count_from_tomorrow_on():
    village = make_village(2)
    Station.objects.filter(pk=the_mill().pk).update(state=State.AWAITING, counts_from=None)
    with pytest.raises(NotPossible, match="from today on at the latest"):
        decisions.approve(the_mill(), steward_of(village), timezone.now() + timedelta(days=1))
