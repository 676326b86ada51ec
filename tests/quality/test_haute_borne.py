"""Four turbines half a mile apart: real faults, real weather, and both rates.

La Haute Borne, 2014 (ENGIE, Open Licence 2.0). The faults are those that reading the file shows, listed with
their times below. Temperature is the station variable here; the thermometers stand 80 m up.
"""

from collections.abc import Mapping

import numpy as np
import pandas as pd
import pytest

from network.quality.register import look_alone, look_at_neighbours
from network.quality.verdict import DOUBTFUL, GOOD, MISSING, WRONG, decide, reasons_of, verdict_of
from network.quality.window import Window
from network.science.constants import ZERO_CELSIUS
from tests.datasets import HAUTE_BORNE_PLACES, haute_borne
from tests.quality.windows import from_the_others, window

# R80721, while the other three agree with one another: from, to (UTC), readings, what it is.
FAULTS = [
    ("2014-06-08 14:10", "2014-06-08 20:30", 39, "stuck"),
    ("2014-06-08 20:40", "2014-06-09 02:00", 33, "physical"),  # an error code, -273.2 °C
    ("2014-06-09 02:10", "2014-06-09 02:10", 1, "physical"),  # partly the code: -92.02 °C
    ("2014-06-09 12:00", "2014-06-10 00:00", 73, "stuck"),
    ("2014-06-10 00:10", "2014-06-10 00:10", 1, "departure"),  # partly stuck
]
FAULTY_DAYS = slice("2014-06-08 14:10", "2014-06-10 00:10")


def station_window(rows: pd.DataFrame, place: tuple[float, float]) -> Window:
    rows = rows.sort_values("t", kind="stable")
    twice = (rows.groupby("t")["Ot_avg"].nunique() > 1).to_numpy()
    rows = rows.drop_duplicates("t")
    return window(
        {"air_temperature": rows["Ot_avg"] + ZERO_CELSIUS, "wind_speed": rows["Ws_avg"]},
        every=600,
        seconds=rows["t"].astype("datetime64[s, UTC]").astype(np.int64).to_numpy(),
        repeated={"air_temperature": twice},
        elevation=411.0,
        latitude=place[0],
        longitude=place[1],
    )


@pytest.fixture(scope="module")
def turbines() -> dict[str, Window]:
    groups = haute_borne().groupby("Wind_turbine_name")
    return {str(name): station_window(rows, HAUTE_BORNE_PLACES[str(name)]) for name, rows in groups}


@pytest.fixture(scope="module")
def marks(turbines: Mapping[str, Window]) -> dict[str, dict[str, pd.Series]]:
    # 0.3 °C and 0.6 m/s: robust spread between neighbours in this file.
    temperature = from_the_others(turbines, "air_temperature", 0.3)
    wind = from_the_others(turbines, "wind_speed", 0.6)
    decided = {}
    for name, each in turbines.items():
        expected = {"air_temperature": temperature[name], "wind_speed": wind[name]}
        evidence = look_alone(each) + look_at_neighbours(each, expected)
        times = pd.to_datetime(each.seconds, unit="s")
        decided[name] = {v: pd.Series(m, index=times) for v, m in decide(each, evidence).items()}
    return decided


@pytest.mark.parametrize(("begins", "ends", "readings", "reason"), FAULTS)
def test_every_reading_of_every_listed_fault_is_wrong_for_the_right_reason(
    marks, begins, ends, readings, reason
):
    spell = marks["R80721"]["air_temperature"][begins:ends]
    assert len(spell) == readings
    assert (verdict_of(spell.to_numpy()) == WRONG).all()
    assert all(reason in reasons_of(mark) for mark in spell)


def test_the_sound_hours_between_the_faults_stay_good(marks):
    between = marks["R80721"]["air_temperature"]["2014-06-09 02:20":"2014-06-09 11:50"]
    assert len(between) == 58 and (verdict_of(between.to_numpy()) == GOOD).all()


def test_the_hour_that_came_twice_is_doubtful_at_every_turbine(marks):
    for name in HAUTE_BORNE_PLACES:
        twice = marks[name]["air_temperature"]["2014-03-30 01:00":"2014-03-30 01:50"]
        assert len(twice) == 6 and all("repeated" in reasons_of(mark) for mark in twice)
        assert (verdict_of(twice.to_numpy()) == DOUBTFUL).all()


@pytest.mark.parametrize(
    ("variable", "most_wrong", "most_doubtful"),
    [("air_temperature", 0.0002, 0.003), ("wind_speed", 0.0002, 0.003)],
)
def test_sound_readings_are_seldom_doubted(marks, variable, most_wrong, most_doubtful):
    sound = pd.concat(
        [
            series[variable].drop(series[variable][FAULTY_DAYS].index)
            if name == "R80721"
            else series[variable]
            for name, series in marks.items()
        ]
    )
    verdict = verdict_of(sound.to_numpy())
    present = verdict != MISSING
    wrong, doubtful = (float((verdict[present] == v).mean()) for v in (WRONG, DOUBTFUL))
    print(f"{variable}: {present.sum()} sound readings, wrong {wrong:.4%}, doubtful {doubtful:.4%}")
    assert wrong <= most_wrong
    assert doubtful <= most_doubtful
