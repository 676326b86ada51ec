"""Periods that end with each reading, against pandas."""

import numpy as np
import pandas as pd
import pytest

from network.quality import rolling

CHANCE = np.random.default_rng(7)


@pytest.fixture(params=["even", "uneven"])
def series(request: pytest.FixtureRequest) -> pd.Series:
    steps = np.full(400, 300) if request.param == "even" else CHANCE.integers(60, 2000, 400)
    values = CHANCE.normal(size=400)
    values[CHANCE.random(400) < 0.1] = np.nan
    return pd.Series(values, index=pd.to_datetime(np.cumsum(steps), unit="s"))


@pytest.mark.parametrize("length", [300, 1000, 3600, 7200])
def test_periods_agree_with_pandas(series: pd.Series, length: int):
    # pandas: a window of an offset is (t - offset, t], and passes over missing values.
    seconds = series.index.astype("datetime64[s]").astype(np.int64).to_numpy()
    first, values = rolling.since(seconds, length), series.to_numpy()
    theirs = series.rolling(f"{length}s", min_periods=1)
    np.testing.assert_allclose(rolling.highest(values, first), theirs.max(), rtol=1e-12)
    np.testing.assert_allclose(rolling.lowest(values, first), theirs.min(), rtol=1e-12)
    np.testing.assert_allclose(rolling.mean(values, first), theirs.mean(), atol=1e-12)


def test_what_is_said_of_a_period_holds_for_all_of_it():
    seconds = np.arange(6) * 60
    first = rolling.since(seconds, 180)
    said = rolling.covered(np.array([np.nan, 0, 0, 0, 5, 0]), first)
    np.testing.assert_array_equal(said, [0, 0, 5, 5, 5, 0])
