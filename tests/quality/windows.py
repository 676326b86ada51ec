"""Windows for the tests: short ones made by hand, and whole datasets with their neighbours."""

from collections.abc import Mapping

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from network.quality.evidence import Evidence
from network.quality.register import look_alone, look_at_neighbours, trusted
from network.quality.verdict import decide, verdict_of
from network.quality.window import Expected, Floats, Window
from network.science.constants import ZERO_CELSIUS

START = 1_748_736_000  # 2025-06-01 00:00 UTC


def celsius(*values: float) -> Floats:
    return np.array(values, dtype=np.float64) + ZERO_CELSIUS


def window(values: Mapping[str, ArrayLike], every: float = 300, **given: object) -> Window:
    """A station at 47 N, 20 m above the sea, that measured these values one after another."""
    arrays = {name: np.asarray(series, dtype=np.float64) for name, series in values.items()}
    n = len(next(iter(arrays.values())))
    whole: dict[str, object] = {
        "station": 1,
        "seconds": START + np.arange(n, dtype=np.int64) * int(every),
        "values": arrays,
        "elevation": 20.0,
        "latitude": 47.0,
        "longitude": 8.0,
        "report_every": float(every),
        "ranges": {},
        "resolution": {},
        "noise": {},
        "sun_elevation": np.full(n, 30.0),
        "clear_sky": np.full(n, 500.0),
        "repeated": {},
        "overrides": {},
    }
    return Window(**{**whole, **given})  # type: ignore[arg-type]


def seen_by(check: str, looked: list[Evidence], variable: str) -> Evidence:
    """What one check saw in one variable."""
    return next(seen for seen in looked if (seen.check, seen.variable) == (check, variable))


def verdicts(looked_at: Window, expected: Mapping[str, Expected] | None = None) -> dict[str, Floats]:
    """The verdict of every reading, alone or beside what the neighbours lead one to expect."""
    evidence = look_alone(looked_at)
    if expected is not None:
        evidence += look_at_neighbours(looked_at, expected)
    return {variable: verdict_of(marks) for variable, marks in decide(looked_at, evidence).items()}


def from_the_others(windows: Mapping[str, Window], variable: str, error: float) -> dict[str, Expected]:
    """By station, the median of the other stations' trusted values plus the station's own median offset.

    Plain on purpose: these tests are about the checks, not about the estimate.
    """
    columns = {}
    for name, each in windows.items():
        fit = trusted(each, look_alone(each))[variable]
        columns[name] = pd.Series(np.where(fit, each.values[variable], np.nan), index=each.seconds)
    table = pd.DataFrame(columns)
    expected = {}
    for name, each in windows.items():
        others = table.drop(columns=name)
        median = others.median(axis=1).where(others.notna().sum(axis=1) >= 2)
        offset = (table[name] - median).median()
        estimate = (median + offset).reindex(each.seconds).to_numpy()
        expected[name] = (estimate, np.where(np.isnan(estimate), np.nan, error))
    return expected
