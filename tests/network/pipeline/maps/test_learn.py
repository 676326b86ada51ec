"""What a village's past teaches its maps: learnt for a spell of days, held until that changes, the same in any order."""

from datetime import UTC, datetime

import numpy as np
import pytest
from django.db import transaction
from numpy.testing import assert_allclose

from network.models import FieldFit, VillageMap, Work
from network.pipeline.ledger import blocks, work
from network.pipeline.ledger.blocks import DAY, SPELL
from network.pipeline.maps.fits import learnt_of
from network.pipeline.maps.map import estimate, village_grid
from network.pipeline.maps.operators import operators
from network.pipeline.rebuild import forget
from network.pipeline.settle import settle
from network.pipeline.stages import STAGES
from network.science.sun import sunrise_sunset
from network.spatial.rain import Rain
from stations.models import Ground, Station
from tests.network.made_village import (
    NAMES,
    Report,
    deliver,
    found_village,
    make_village,
    observations,
    settle_station,
)
from tests.network.pipeline.state import assert_nothing_is_left_to_do, assert_same, state
from tests.village import five_minutes

BOUNDARY = 20550 * DAY
"""2026-04-07, where a spell begins: five days are told, four before it and one after."""

TIMES = five_minutes("2026-04-03", 5)[3::4]
MEASURED = ("air_temperature", "relative_humidity", "rain_amount", "wind_speed", "wind_from_direction")
WARM = "air_temperature"

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def village(django_db_setup, django_db_blocker):
    """Five stations that speak every twenty minutes, all worked through."""
    with django_db_blocker.unblock(), transaction.atomic():
        made = make_village(5, MEASURED, report_every=1200)
        for station in Station.objects.of(made):
            tell(station, observations(station, TIMES))
        settle()
        yield made
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def alike(django_db_setup, django_db_blocker):
    """Five stations over which the air is everywhere the same, but for the noise of each thermometer."""
    random = np.random.default_rng(2)
    with django_db_blocker.unblock(), transaction.atomic():
        made = found_village(name="Alike")
        for name in NAMES[:5]:
            station = settle_station(made, name, report_every=1200)
            warm = 12 + 5 * np.sin(2 * np.pi * TIMES / DAY) + random.normal(0, 0.3, len(TIMES))
            tell(station, observations(station, TIMES, {"t": warm.round(1)}))
        settle()
        yield made
        transaction.set_rollback(True)


def tell(station, said):
    deliver(Report(station.pk, tuple(said[first : first + 72])) for first in range(0, len(said), 72))


def maps(village, variable, first=0, last=1 << 40):
    return list(VillageMap.objects.filter(village=village, variable=variable, at__gt=first, at__lte=last))


def test_a_spell_s_maps_learn_from_the_days_before_it_and_those_days_from_nothing(village):
    learnt = FieldFit.objects.filter(village=village)
    assert {one.begins_at for one in learnt} == {BOUNDARY}
    parts = {(one.variable, one.part) for one in learnt}
    assert {(WARM, "day"), (WARM, "night"), ("wind_speed", "day"), ("wind_speed", "night")} <= parts
    assert {part for name, part in parts if name == "rain_amount"} <= {"all"}


def test_day_is_while_the_sun_is_up(village):
    rise, fall = sunrise_sunset(BOUNDARY, *village.centre)  # an almanac's, with the sun's edge and refraction
    for one in maps(village, WARM, BOUNDARY, BOUNDARY + DAY):
        if min(abs(one.at - rise), abs(one.at - fall)) > 1800:
            assert (one.part == "day") == (rise < one.at < fall)


def test_every_map_keeps_how_good_it_is_by_each_method(village):
    for one in maps(village, WARM):
        assert one.method in ("kriging", "inverse distance", "village mean")
        assert 0 <= one.half_coverage <= one.coverage <= 1
        assert one.crps > 0 and one.plain_rmse > 0 and one.mean_rmse > 0


def test_where_the_air_is_everywhere_the_same_the_map_is_flat_and_the_mean_as_good_as_any(alike):
    late = maps(alike, WARM, BOUNDARY)
    made = estimate(alike, late, village_grid(alike, 6))
    assert np.ptp(made.estimate, axis=0).mean() < 0.3, "no more than one thermometer is off"
    # Of n - 1 like readings the mean misses one more by sqrt(1 + 1 / (n - 1)) times the noise of 0.3 K.
    by_mean = np.sqrt(np.mean([one.mean_rmse**2 for one in late]))
    assert_allclose(by_mean, 0.3 * np.sqrt(1.25), rtol=0.1)
    assert np.sqrt(np.mean([one.rmse**2 for one in late])) < 1.02 * by_mean


def test_the_village_mean_is_what_is_drawn_and_told_where_it_served_best(alike):
    with transaction.atomic():
        FieldFit.objects.filter(village=alike).update(method="village mean")
        work.mark_maps(alike.pk, BOUNDARY, BOUNDARY)
        settle()
        late = maps(alike, WARM, BOUNDARY)
        assert {one.method for one in late} == {"village mean"}
        made = estimate(alike, late, village_grid(alike, 6))
        mean = [np.mean([value for _, value in one.used]) for one in late]
        assert_allclose(made.estimate, np.tile(mean, (len(made.estimate), 1)), atol=1e-9)
        assert_allclose([one.rmse for one in late], [one.mean_rmse for one in late], atol=1e-5)
        transaction.set_rollback(True)


def test_days_too_few_teach_nothing(alike):
    with transaction.atomic():
        forget(alike)
        Work.objects.exclude(block__gte=BOUNDARY - DAY).delete()
        settle()
        assert maps(alike, WARM) and not FieldFit.objects.filter(village=alike).exists()
        transaction.set_rollback(True)


def test_a_fit_is_kept_to_the_digits_it_is_known_to(village):
    for one in FieldFit.objects.all():
        again = learnt_of(one)
        assert again.widen == one.widening and again.method == one.method
        assert all(field.spread > 0 and field.reach > 0 for field, _ in again.members)


def test_learning_the_same_again_draws_no_map(village):
    with transaction.atomic():
        work.mark_learning(village.pk, BOUNDARY - DAY, BOUNDARY - DAY)
        assert work.hurry(village.pk)
        assert work.do_next(STAGES, village.pk).stage == Work.Stage.LEARN
        assert_nothing_is_left_to_do()
        transaction.set_rollback(True)


def test_when_a_fit_changes_the_maps_of_its_spell_are_drawn_anew_and_no_others(village):
    with transaction.atomic():
        FieldFit.objects.filter(village=village, variable=WARM).update(widening=9.0)
        work.mark_learning(village.pk, BOUNDARY - DAY, BOUNDARY - DAY)
        work.hurry(village.pk)
        work.do_next(STAGES, village.pk)
        waiting = Work.objects.order_by("block").values_list("stage", "block")
        assert list(waiting) == [(Work.Stage.MAP, one) for one in range(BOUNDARY, BOUNDARY + SPELL, DAY)]
        transaction.set_rollback(True)


def test_ground_that_is_kept_or_taken_back_lets_the_village_learn_and_draw_anew(village):
    edges = {edge: getattr(village, edge) for edge in ("south", "north", "west", "east")}
    with transaction.atomic():
        layer = Ground(village=village, kind="tree_cover", credit="A survey", **edges)
        layer.cells = np.zeros((2, 3))
        layer.save()
        assert_nothing_is_left_to_do()  # it waits for its steward's look
        layer.kept_at = datetime.now(UTC)
        layer.save()
        both = {Work.Stage.LEARN, Work.Stage.MAP}
        assert {one.stage for one in Work.objects.all()} == both
        Work.objects.all().delete()
        layer.delete()
        assert {one.stage for one in Work.objects.all()} == both
        transaction.set_rollback(True)


def test_a_trusted_reading_is_learnt_from_by_the_spell_after_it():
    assert list(blocks.spells_after(BOUNDARY - 1, BOUNDARY - 1)) == [BOUNDARY]
    assert list(blocks.spells_after(BOUNDARY - 1, BOUNDARY + 1)) == [BOUNDARY, BOUNDARY + SPELL]


def test_a_rebuild_learns_the_same(village):
    before = state()
    with transaction.atomic():
        forget(village)
        settle()
        assert before["FieldFit"]
        assert_same(before, state())
        transaction.set_rollback(True)


@pytest.mark.parametrize("variable", ["air_temperature", "dew_point", "wind_speed"])
def test_operators_give_what_the_maps_give(village, variable):
    kept, grid = maps(village, variable), village_grid(village, 8)
    whole = estimate(village, kept, grid)
    seen = np.zeros(len(kept), int)
    for one in operators(village, kept, grid):
        seen[one.times] += 1
        cells = [
            one.weights @ part + (0 if one.offset is None else one.offset[:, None]) for part in one.readings
        ]
        wanted = [whole.eastward, whole.northward] if variable == "wind_speed" else [whole.estimate]
        for made, truth in zip(cells, wanted, strict=True):
            assert_allclose(made, truth[:, one.times], atol=2e-3)  # single precision of some hundred kelvin
        assert_allclose(np.outer(one.error, one.scale), whole.error[:, one.times], rtol=1e-4)
        assert one.weights.dtype == one.error.dtype == np.float32
        assert one.weights.shape == (len(one.error), len(one.stations))
    assert (seen == 1).all()


def test_operators_of_rain_give_its_chance_and_its_amount(village):
    kept, grid = maps(village, "rain_amount"), village_grid(village, 8)
    whole = estimate(village, kept, grid)
    assert whole.estimate.max() > 0, "it rained in these days"
    for one in operators(village, kept, grid):
        (said,) = one.readings
        chance = np.clip(one.wetness @ (said > 0), one.doubt, 1 - one.doubt)
        middle = one.weights @ said ** (1 / one.root)
        made = Rain(chance, middle, np.outer(one.error, one.scale), one.root)
        assert_allclose(chance, whole.chance[:, one.times], atol=1e-4)
        assert_allclose(made.amount, whole.estimate[:, one.times], atol=2e-3)
        assert_allclose(made.quantile(0.95), whole.interval(0.9)[1][:, one.times], atol=5e-3)
