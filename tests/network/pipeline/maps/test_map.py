"""Maps: kept as what they stand on, with their scores; none where there is too little to stand on."""

import numpy as np
import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext
from numpy.testing import assert_allclose

from network.models import VillageMap
from network.pipeline.maps.map import estimate, village_grid
from network.pipeline.maps.readings import left_out, readings
from network.pipeline.metadata.stretches import sites, stretches
from network.pipeline.neighbours.frames import frames
from network.pipeline.settle import settle
from network.pipeline.verbs import decisions
from stations.models import Instrument, Station
from tests.network.made_village import settle_station
from tests.network.pipeline.told import rows_of, village_of
from tests.village import five_minutes, places

pytestmark = pytest.mark.django_db
MORNING = five_minutes("2026-04-10", 0.5)
WARM = "air_temperature"


def test_two_stations_make_no_map():
    village_of(2, MORNING)
    assert not VillageMap.objects.exists()


def test_three_stations_make_a_map_of_every_frame():
    village = village_of(3, MORNING)
    made = VillageMap.objects.filter(village=village, variable=WARM)
    assert [one.at for one in made] == MORNING[1::2].tolist()
    assert all(len(one.used) == 3 for one in made)


def test_a_map_stands_on_the_ten_minute_means_of_its_stations():
    village = village_of(4, MORNING)
    one = VillageMap.objects.filter(variable=WARM)[10]
    for station, value in one.used:
        rows = rows_of(village, Station.objects.get(pk=station).name)
        inside = (rows.at > one.at - 600) & (rows.at <= one.at)
        assert_allclose(value, rows.columns[WARM][inside].mean(), atol=1e-4)


def test_a_false_station_is_left_out_and_the_map_says_why():
    def false(times):
        return {"t": np.full(len(times), 40.0) + np.arange(len(times)) % 7}

    village = village_of(5, MORNING, changed={"Green": false})
    green = Station.objects.of(village).get(name="Green").pk
    for one in VillageMap.objects.filter(variable=WARM):
        assert green not in [station for station, _ in one.used]
        assert next(why for station, why in one.left_out if station == green) in ("wrong", "doubtful")


WIND = ("wind_speed", "wind_from_direction")


def test_a_station_without_a_direction_is_left_out_of_the_wind_and_the_map_says_why():
    def no_vane(times):
        return {"dir": np.full(len(times), np.nan)}

    village = village_of(5, MORNING[:24], WIND, changed={"Green": no_vane})
    green = Station.objects.of(village).get(name="Green").pk
    made = VillageMap.objects.filter(variable="wind_speed")
    assert made
    for one in made:
        assert [green, "no good wind direction"] in one.left_out
        listed = [station for station, *_ in one.used + one.left_out]
        assert sorted(listed) == sorted(set(listed))


def test_a_rotor_near_the_ground_is_left_out_of_the_wind_and_the_map_says_why():
    village = village_of(4, MORNING[:24], WIND)
    green = Station.objects.of(village).get(name="Green")
    Instrument.objects.filter(station=green, variable="wind_speed").update(height=1.2)
    seen = frames(village, int(MORNING[0]) - 300, int(MORNING[23]))
    for told in left_out(seen, "wind_speed", readings(seen, "wind_speed")):
        assert [green.pk, "stands too low"] in told


def test_no_rain_is_mapped_after_the_last_report():
    village_of(4, MORNING[:24], ("rain_amount",))
    assert VillageMap.objects.filter(variable="rain_amount").last().at == MORNING[23]


def test_an_hour_of_readings_overruled_changes_the_maps_of_that_hour_and_no_others():
    village = village_of(5, MORNING)
    green, by = Station.objects.of(village).get(name="Green"), User.objects.create_user("steward")
    begins_at, before = int(MORNING[71]), kept()
    hour = [at for at in MORNING[1::2].tolist() if begins_at < at <= begins_at + 3600]
    decision = decisions.maintain(green, by, (begins_at + 300, begins_at + 3600))
    with CaptureQueriesContext(connection) as asked:
        settle()
    after = kept()
    assert [at for (_, at), one in before.items() if one != after[WARM, at]] == hour
    taken_away = [one for one in asked if one["sql"].startswith('DELETE FROM "network_villagemap"')]
    assert len(taken_away) == len(hour)
    decisions.undo(decision, by)
    settle()
    assert kept() == before


def kept():
    """Every map's content by its variable and time."""
    return {(one["variable"], one["at"]): one for one in VillageMap.objects.values()}


def test_the_truth_lies_within_the_interval_about_as_often_as_it_says():
    # The field is known everywhere (tests.village): 25 gates that have no station, every frame of the morning.
    village = village_of(8, MORNING)
    maps = list(VillageMap.objects.filter(variable=WARM))
    random = np.random.default_rng(3)
    gates = places(random.uniform(-700, 700, 25), random.uniform(-600, 600, 25))
    where = sites([_at(gates, i, stretches(village, maps[0].at, maps[-1].at)[0]) for i in range(25)], village)
    found = estimate(village, maps, where)
    truth = gates.truth([one.at for one in maps])[WARM]
    low, high = found.interval(0.9)
    assert ((truth >= low) & (truth <= high)).mean() > 0.8
    assert np.abs(found.estimate - truth).mean() < 0.6


def _at(gates, index, like):
    from dataclasses import replace

    return replace(
        like,
        latitude=gates.latitude[index],
        longitude=gates.longitude[index],
        elevation=gates.elevation[index],
    )


def test_scores_are_those_of_leaving_each_station_out_in_turn():
    village_of(5, MORNING)
    for one in VillageMap.objects.filter(variable=WARM):
        assert 0 <= one.mae <= one.rmse < 3.0
        assert abs(one.bias) <= one.mae + 1e-6
        assert 0 <= one.coverage <= 1


def test_the_grid_covers_the_village_with_square_cells():
    grid = village_grid(village_of(3, MORNING[:12]), 40)
    width, height = (grid.east - grid.west) / grid.columns, (grid.north - grid.south) / grid.rows
    assert grid.rows == 40
    assert_allclose(width, height, rtol=0.03)
    assert_allclose(grid.north - grid.south, 2003.7, rtol=0.005)  # 0.018° of latitude, 111.32 km a degree


def test_a_station_that_nobody_has_approved_bends_no_ground_under_the_map():
    village = village_of(4, five_minutes("2026-04-10", 1 / 24))
    last, grid = VillageMap.objects.filter(village=village, variable=WARM).last(), village_grid(village, 6)
    before = estimate(village, [last], grid).estimate
    latitude, longitude = village.centre
    stranger = settle_station(village, "Hill", place=(latitude, longitude, 4705.0))  # a comma forgotten
    Station.objects.filter(pk=stranger.pk).update(state=Station.State.DRAFT, counts_from=None)
    assert_allclose(estimate(village, [last], grid).estimate, before)
