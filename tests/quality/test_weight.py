"""How far the maps trust a station: by what is stated while nothing else is known, by its record later."""

from dataclasses import replace

import numpy as np
import pytest

from network.quality.scorecard import Scored, card
from network.quality.weight import STEP, error_in_maps
from network.science.variables import VARIABLES
from network.spatial.field import Field
from network.spatial.neighbours import expected_from_neighbours
from network.spatial.sites import Sites
from tests.quality.records import Measured, Seconds, metres, records, village

ACCURACY = 0.4
STEADY = Scored(
    station=1,
    variable="air_temperature",
    bias=0.0,
    bias_error=0.03,
    expected_error=0.3,
    random_error=0.2,
    low=0.15,
    high=0.25,
    frames=2000,
    independent=200.0,
    method="collocation",
)


def steps(error: float) -> float:
    return float(np.log(error / ACCURACY) / np.log(STEP))


@pytest.mark.parametrize("stated", [0.3, 0.4, 0.9, 1.3, 2.6])
def test_without_a_record_it_is_what_is_stated_to_the_next_step(stated):
    error = error_in_maps(stated, ACCURACY, None)
    assert steps(error) == pytest.approx(round(steps(error)), abs=1e-9)
    assert error / stated == pytest.approx(1, abs=STEP**0.5 - 1)


def test_a_station_in_a_bad_place_that_agrees_all_the_same_gains_trust():
    assert error_in_maps(1.1, ACCURACY, STEADY) < error_in_maps(1.1, ACCURACY, None)


def test_a_station_that_scatters_or_is_off_loses_trust():
    usual = error_in_maps(0.4, ACCURACY, STEADY)
    noisy = replace(STEADY, random_error=1.0)
    off = replace(STEADY, bias=2.0)
    assert error_in_maps(0.4, ACCURACY, noisy) == pytest.approx(1.0, rel=0.15)
    assert error_in_maps(0.4, ACCURACY, off) == pytest.approx(2.0, rel=0.15)
    assert usual <= ACCURACY


def test_a_short_record_says_less_than_a_long_one():
    noisy = replace(STEADY, random_error=1.0)
    assert error_in_maps(0.4, ACCURACY, replace(noisy, independent=5.0)) < error_in_maps(0.4, ACCURACY, noisy)


def test_a_day_s_news_does_not_redraw_a_month():
    news = [replace(STEADY, bias=STEADY.bias + d, random_error=0.2 + d / 10) for d in (0.0, 0.02, 0.05)]
    assert len({error_in_maps(0.4, ACCURACY, one) for one in news}) == 1


def test_an_error_too_small_to_be_told_leaves_what_was_stated():
    unknown = replace(STEADY, random_error=np.nan, low=0.0, high=np.nan, expected_error=5.0)
    assert error_in_maps(0.4, ACCURACY, unknown) == error_in_maps(0.4, ACCURACY, None)


def test_honest_stations_are_foretold_better_when_two_bad_ones_are_known_by_their_record():
    # Constructed: ten days of record, then five days in which each station is left out in turn.
    def two_bad(values: Measured, seconds: Seconds) -> None:
        values["air_temperature"][3] += 0.9 * np.random.default_rng(5).standard_normal(seconds.size)
        values["air_temperature"][6] += 1.5

    seen, where, name = records(107, "2025-05-01", 15, faults=two_bad), village(107, 10), "air_temperature"
    sites = Sites.at(*metres(where.latitude, where.longitude), where.elevation)
    values = np.array([each.values[name][1440::6] for each in seen])
    begins_at = int(seen[0].seconds[0]) - 600
    scores = {
        one.station: one for one in card(seen, begins_at, begins_at + 10 * 86400) if one.variable == name
    }
    stated = np.full(10, 0.64)
    known = np.array([error_in_maps(0.64, ACCURACY, scores[each.station]) for each in seen])

    def misses(error: np.ndarray) -> float:
        found = expected_from_neighbours(
            sites, error, Field.of(VARIABLES[name].field), values, np.isfinite(values)
        )
        return float(np.sqrt(np.nanmean(np.delete(values - found.expected, [3, 6], axis=0) ** 2)))

    assert known[3] > known[[0, 1, 2]].max() and known[6] > known[[0, 1, 2]].max()
    assert misses(known) < 0.9 * misses(stated)
