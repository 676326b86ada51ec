"""Maps told as a few pictures: as few as linear algebra allows, and never further off than promised."""

import numpy as np
import pytest

from network.spatial.mixture import mixture

CELLS, TIMES, STATIONS = 600, 288, 9


def maps(stations: int = STATIONS, seed: int = 4) -> np.ndarray:
    """Maps that are linear in the readings of some stations."""
    random = np.random.default_rng(seed)
    return random.normal(size=(CELLS, stations)) @ random.normal(size=(stations, TIMES)) + 280.0


@pytest.mark.parametrize("tolerance", [1.0, 0.1, 0.01])
def test_no_cell_at_any_time_is_further_off_than_the_tolerance(tolerance):
    truth = maps()
    assert np.abs(mixture(truth, tolerance).maps - truth).max() <= tolerance * 1.01


def test_it_takes_as_many_pictures_as_numpy_finds_independent_ones():
    truth = maps()
    independent = np.linalg.matrix_rank(truth - truth.mean(axis=0), tol=1e-6)
    assert len(mixture(truth, 0.01).pictures) == independent == STATIONS


def test_a_station_that_falls_silent_costs_pictures_and_no_accuracy():
    truth = np.hstack([maps(9)[:, :200], maps(8, seed=5)[:, :88]])
    told = mixture(truth, 0.01)
    assert len(told.pictures) <= 17
    assert np.abs(told.maps - truth).max() <= 0.0101


def test_a_time_without_a_map_has_none_again_and_disturbs_no_other():
    truth = maps()
    truth[:, 7] = np.nan
    told = mixture(truth, 0.01)
    assert np.isnan(told.maps[:, 7]).all()
    assert np.abs(np.delete(told.maps - truth, 7, axis=1)).max() <= 0.0101
    assert (told.shares[:, 7] == 0).all()


def test_what_is_the_same_everywhere_takes_no_picture():
    told = mixture(np.tile(np.arange(5.0), (CELLS, 1)), 0.01)
    assert told.pictures.shape == (0, CELLS)
    assert told.maps[0].tolist() == [0, 1, 2, 3, 4]


def test_nothing_but_times_without_a_map_is_told_too():
    assert np.isnan(mixture(np.full((CELLS, 3), np.nan), 0.01).maps).all()
