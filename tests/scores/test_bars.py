"""What the maps must reach on data nobody here made, and in the village where the truth is known."""

import functools
from dataclasses import replace

import numpy as np
import pytest

from network.spatial.sites import Sites
from tests.datasets import swiss_rain
from tests.scores import haute_borne, irish_wind, made_village, new_york
from tests.scores import swiss_rain as swiss
from tests.scores.rivals import inverse_square
from tests.scores.row import Row, scored

SEASONS = {"winter": (12, 1, 2), "spring": (3, 4, 5), "summer": (6, 7, 8), "autumn": (9, 10, 11)}


def test_swiss_rain_is_mapped_better_than_by_any_plain_method():
    # Hidden gauges: inverse distance 68.7, PyKrige's own fit 56.6 (computed from the files); 54.5 is asked for.
    given, hidden = swiss_rain()
    sites, places = (Sites.at(part["x"], part["y"], part["elevation"]) for part in (given, hidden))
    said, learnt = swiss.ours(sites, given[["rain"]].to_numpy(), places)
    found = scored("swiss-rain", "ours", said, hidden[["rain"]].to_numpy(), 0.0)
    assert found.rmse <= 54.5
    assert found.mae <= 38
    assert 0.86 <= found.coverage_90 <= 0.94
    assert said.middle.min() >= 0
    # Rain hardly followed height that day (r = -0.17 at the 100), so no term for it may survive.
    assert all(field.gradient == field.gradient_spread == 0 for field, _ in learnt.members)


def test_irish_wind_is_as_good_as_regression_on_the_others():
    # Linear regression on the eleven others, trained on the first half: 2.20 kn (computed from the file).
    assert next(irish_wind.measure()).rmse <= 2.20


def test_each_turbine_is_told_from_the_three_others():
    # The mean of the others with the year's own median offset taken out: 0.37, 0.37, 0.33 K (computed).
    mean, *sites = _ours(haute_borne, 5)
    assert mean.rmse <= 0.34
    assert max(site.rmse for site in sites) <= 0.36


def test_jfk_is_told_from_the_two_other_airports():
    # The mean of the others with the year's own median offset taken out: 1.68 K (computed).
    (found,) = _ours(new_york, 1)
    assert found.rmse <= 1.68
    assert 0.87 <= found.coverage_90 <= 0.93


def test_the_made_village_is_mapped_a_fifth_better_than_by_inverse_distance():
    ours = np.concatenate([error.ravel() for error, _ in mapped()])
    plain = [inverse_square(one.sites, one.past, one.now, one.hidden).middle - one.truth for one in spells()]
    assert _rms(ours) <= 0.8 * _rms(np.concatenate([error.ravel() for error in plain]))


@pytest.mark.parametrize("season", SEASONS)
def test_the_interval_means_what_it_says_in_every_season(season):
    assert 0.87 <= _covered(lambda one: one.month in SEASONS[season]) <= 0.93


@pytest.mark.parametrize("by_day", [True, False])
def test_the_interval_means_what_it_says_by_day_and_by_night(by_day):
    assert 0.87 <= _covered(lambda one: one.by_day == by_day) <= 0.93


@pytest.mark.parametrize("stated", [0.5, 2.5])
def test_the_interval_means_what_it_says_though_the_thermometers_are_not_as_stated(stated):
    # Siting classes state what is to be reckoned with at worst; most stations are better than that.
    held = []
    for one in [one for one in spells() if one.month % 3 == 1]:
        said = made_village.ours(one.sites, one.past, one.now, one.hidden, stated * made_village.NOISE)
        held.append(((said.quantile(0.05) <= one.truth) & (one.truth <= said.quantile(0.95))).ravel())
    assert 0.87 <= float(np.concatenate(held).mean()) <= 0.93


def test_a_badly_sited_station_hardly_harms():
    # Two kelvin too warm, in a place whose siting class says that so much is to be reckoned with.
    with_it, without = [], []
    for one in [one for one in spells() if one.month % 3 == 1]:
        bad = np.arange(len(one.sites)) == 4
        noise = np.where(bad, 2.0, made_village.NOISE)
        warm = 2.0 * bad[:, None]
        spoiled = made_village.ours(one.sites, one.past + warm, one.now + warm, one.hidden, noise)
        rest = replace(one, sites=one.sites[~bad], past=one.past[~bad], now=one.now[~bad])
        fair = made_village.ours(rest.sites, rest.past, rest.now, rest.hidden)
        with_it.append((spoiled.middle - one.truth).ravel())
        without.append((fair.middle - one.truth).ravel())
    assert _rms(np.concatenate(with_it)) <= 1.1 * _rms(np.concatenate(without))


def spells() -> list[made_village.Spell]:
    """Spells of the year, in each layout."""
    return made_village.spells()


@functools.cache
def mapped() -> list[tuple[np.ndarray, np.ndarray]]:
    """Errors of the maps, and whether their 90 % intervals held the truth, spell by spell."""
    out = []
    for one in spells():
        said = made_village.ours(one.sites, one.past, one.now, one.hidden)
        held = (said.quantile(0.05) <= one.truth) & (one.truth <= said.quantile(0.95))
        out.append((said.middle - one.truth, held))
    return out


def _covered(wanted) -> float:
    held = [hit.ravel() for one, (_, hit) in zip(spells(), mapped(), strict=True) if wanted(one)]
    return float(np.concatenate(held).mean())


def _rms(error: np.ndarray) -> float:
    return float(np.sqrt(np.mean(error**2)))


def _ours(module, count: int) -> list[Row]:
    """The first rows of a dataset, which are ours, without waiting for the others."""
    rows = module.measure()
    return [next(rows) for _ in range(count)]
