"""Whatever a station sends, every reading has its verdict and nothing is lost on the way."""

import numpy as np
import pytest

from network.quality.explanation import explain
from network.quality.register import look_alone, look_at_neighbours, trusted
from network.quality.verdict import MISSING, VERDICT_WORDS, decide, verdict_of
from network.science.variables import VARIABLES
from tests.quality.windows import START, window


def anything(chance: np.random.Generator, n: int) -> np.ndarray:
    """Gaps, zeros, codes, rests and values of every size."""
    sort = chance.integers(0, 6, n)
    level = chance.choice([0.5, 10.0, 285.0, 98000.0])
    kinds = [np.full(n, np.nan), np.zeros(n), np.full(n, -9999.0), np.full(n, level)]
    return np.choose(sort, [*kinds, chance.normal(level, level / 20, n), chance.uniform(-1e9, 1e9, n)])


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("n", [0, 1, 2, 3, 50, 400])
@pytest.mark.parametrize("seed", range(5))
def test_every_reading_has_a_verdict_and_only_what_is_not_there_is_missing(n: int, seed: int):
    chance = np.random.default_rng(seed)
    values = {variable: anything(chance, n) for variable in VARIABLES}
    station = window(
        values,
        seconds=START + np.cumsum(chance.choice([1, 300, 300, 300, 20_000], n)),
        ranges=dict.fromkeys(VARIABLES, (0.0, 300.0)),
        repeated={"air_temperature": chance.random(n) < 0.1},
    )
    estimate = np.where(chance.random(n) < 0.3, np.nan, chance.uniform(0, 400, n))
    expected = dict.fromkeys(VARIABLES, (estimate, 0.1 + estimate / 10))
    evidence = look_alone(station) + look_at_neighbours(station, expected)
    marks, fit = decide(station, evidence), trusted(station, evidence)
    for variable, series in values.items():
        found = verdict_of(marks[variable])
        assert set(found.tolist()) <= VERDICT_WORDS.keys()
        np.testing.assert_array_equal(found == MISSING, np.isnan(series))
        assert not (fit[variable] & np.isnan(series)).any()
        if n:
            assert all(reason.sentence for reason in explain(station, evidence, variable, n - 1))
