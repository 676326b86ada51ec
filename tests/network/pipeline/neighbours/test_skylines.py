"""A wall whose height is known: the long run learns it from a light sensor and keeps it with the place of then."""

import numpy as np
import pytest
from django.db import transaction

from network.models import Skyline
from network.pipeline.neighbours.skylines import keep_skylines
from network.pipeline.rebuild import forget
from network.pipeline.settle import settle
from network.science.skyline import BIN
from network.science.sun import solar_position
from stations.models import Station
from tests.network.made_village import NAMES, Report, deliver, found_village, observations, settle_station
from tests.network.pipeline.state import assert_same, state
from tests.village import five_minutes

TIMES = five_minutes("2026-02-18", 10)[1::2]
WALLED, FROM, TO, HIGH = "Mill", 110.0, 160.0, 20.0
"""Constructed: in the south-east of one station stands a wall that hides the sun below 20 degrees."""

LEFT = 0.1
"""[1] What the sky gives behind it (constructed)."""

pytestmark = pytest.mark.django_db


def told(station: Station, behind: np.ndarray) -> list[Report]:
    """What a board sends, a day in a report; the walled one sees little light while the sun is behind."""
    said = observations(station, TIMES)
    if station.name == WALLED:
        said = [
            one | {"sun": round(one["sun"] * (LEFT if dark else 1.0))}
            for one, dark in zip(said, behind, strict=True)
        ]
    return [Report(station.pk, tuple(said[first : first + 144])) for first in range(0, len(said), 144)]


@pytest.fixture(scope="module")
def village(django_db_setup, django_db_blocker):
    """Ten days of February at three stations, settled; whatever is done here is rolled back."""
    with django_db_blocker.unblock(), transaction.atomic():
        village = found_village()
        elevation, azimuth = solar_position(TIMES - 300, *village.centre)
        behind = (azimuth > FROM) & (azimuth < TO) & (elevation < HIGH)
        for name in NAMES[:3]:
            deliver(told(settle_station(village, name, ("irradiance",), report_every=600), behind))
        settle()
        yield village
        transaction.set_rollback(True)


def newest(name: str) -> Skyline:
    return Skyline.objects.filter(station__name=name, spell__lte=int(TIMES[-1])).latest("spell")


def test_a_wall_in_the_south_east_is_found_to_within_a_few_degrees(village):
    horizon = np.array(newest(WALLED).horizon, dtype=float)  # null becomes NaN
    azimuth = BIN * (np.arange(72) + 0.5)
    assert np.nanmax(horizon[(azimuth > FROM) & (azimuth < TO)]) == pytest.approx(HIGH, abs=3.0)
    # Where the sun climbed past it nothing stands, and further on neither.
    assert np.nanmax(horizon[(azimuth > 140.0) & (azimuth < 230.0)]) == 0.0


def test_stations_without_a_wall_see_all_the_way_down(village):
    for name in NAMES[:3]:
        if name != WALLED:
            assert {high for high in newest(name).horizon if high is not None} == {0.0}


def test_a_horizon_is_known_just_where_there_were_clear_moments(village):
    row = newest(WALLED)
    assert [high is not None for high in row.horizon] == [moments > 0 for moments in row.moments]
    assert row.horizon[0] is None  # the sun is never in the north


def test_what_is_the_same_is_not_written_again_and_what_is_gone_is_dropped(
    village, django_assert_num_queries
):
    stations = list(Station.objects.of(village).values_list("pk", flat=True))
    spell = newest(WALLED).spell
    rows = list(Skyline.objects.filter(spell=spell))
    with transaction.atomic():
        with django_assert_num_queries(1):
            keep_skylines(spell, stations, rows)
        keep_skylines(spell, stations, rows[1:])
        kept = set(Skyline.objects.filter(spell=spell).values_list("station", flat=True))
        assert kept == {one.station_id for one in rows[1:]}
        transaction.set_rollback(True)


def test_a_rebuild_learns_the_same(village):
    before = state()
    with transaction.atomic():
        forget(village)
        assert not Skyline.objects.exists()
        settle()
        assert_same(before, state())
        transaction.set_rollback(True)
