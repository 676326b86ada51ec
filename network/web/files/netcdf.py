"""A station's readings as CF-netCDF: a time series of one place, with a flag variable beside each quantity.

Conventions: CF-1.11, discrete sampling geometries, a single time series (Appendix H.2.3); flags after section 3.5.
"""

from dataclasses import dataclass
from io import BytesIO
from typing import Any

import h5netcdf
import numpy as np

from network.models.storage import Floats, Rows
from network.pipeline.verdicts.steward import STEWARD
from network.quality.checks import CHECKS
from network.quality.verdict import MISSING, REASONS_FROM, VERDICT_WORDS, verdict_of
from network.science.units import convert
from network.science.variables import VARIABLES
from network.web.files.asked import Asked
from network.web.files.origin import Origin

CANONICAL = {
    "K": "K",
    "1": "1",
    "Pa": "Pa",
    "m/s": "m s-1",
    "deg": "degree",
    "mm": "m",
    "W/m2": "W m-2",
    "V": "V",
}
"""The catalogue's units as CF's table of standard names has them; an amount of rain is a thickness in metres."""

METHODS = {"sum": {"cell_methods": "time: sum"}, "maximum": {"cell_methods": "time: maximum"}}
"""Of a mean or a moment nobody says over how long it is."""

ON_SCALE = {"K": {"units_metadata": "temperature: on_scale"}}

BY_THE_STEWARD = 62
"""The bit of a reason that is a steward's word."""


@dataclass(frozen=True)
class Series:
    """All that goes into the file."""

    seconds: np.ndarray  # (n,)
    begins: np.ndarray  # (n,) of the periods measured
    values: dict[str, Floats]
    marks: dict[str, Floats]


def netcdf(question: Asked, origin: Origin) -> BytesIO:
    """The whole file, open at its beginning."""
    series = _gathered(question, [column.name for column in origin.columns])
    kept = BytesIO()
    with h5netcdf.File(kept, "w") as file:
        file.attrs.update(_about(question, origin))
        file.dimensions = {
            "time": len(series.seconds),
            "nv": 2,
            "letters": max(len(origin.station.encode()), 1),
        }
        _times(file, series)
        _place(file, question, origin)
        for name in series.values:
            _variable(file, name, series)
    kept.seek(0)
    return kept


def _gathered(question: Asked, variables: list[str]) -> Series:
    columns = (*variables, *(f"{name}_mark" for name in variables))
    # Months of one station follow each other: end to end they are in order.
    parts = [*question.rows(variables)] or [Rows.join([], columns)]
    at = np.concatenate([one.at for one in parts])
    whole = {name: np.concatenate([one.columns[name] for one in parts]) for name in columns}
    every = question.station.report_every
    since = np.diff(at, prepend=at[:1] - every)
    # A report speaks of the time since the one before; after a silence only of its usual while.
    begins = at - np.where(since > 3 * every, every, since)
    values, marks = (
        {name: whole[name] for name in variables},
        {name: whole[f"{name}_mark"] for name in variables},
    )
    return Series(at, begins, values, marks)


def _about(question: Asked, origin: Origin) -> dict[str, Any]:
    return {
        "Conventions": "CF-1.11",
        "featureType": "timeSeries",
        "title": f"{origin.station}, {origin.village}: readings with verdicts, {origin.first} to {origin.last}",
        "institution": f"{origin.household}, {origin.village}",
        "source": "weather station of a household; instruments and calibrations in the attribute 'origin'",
        "history": f"readings judged by the village's hub, checks {origin.checks}",
        "references": "verdicts after BUFR code table 0 33 020",
        "comment": f"{origin.times} {origin.licence}",
        "origin": origin.as_json(),
    }


def _times(file: h5netcdf.File, series: Series) -> None:
    time = file.create_variable("time", ("time",), data=series.seconds.astype(np.float64))
    time.attrs.update(
        {
            "standard_name": "time",
            "long_name": "end of the period measured",
            "units": "seconds since 1970-01-01 00:00:00 UTC",
            "calendar": "standard",
            "units_metadata": "leap_seconds: none",
            "axis": "T",
            "bounds": "time_bounds",
        }
    )
    bounds = np.column_stack([series.begins, series.seconds]).astype(np.float64)
    file.create_variable("time_bounds", ("time", "nv"), data=bounds)


def _place(file: h5netcdf.File, question: Asked, origin: Origin) -> None:
    """Where it stood at the end, as everybody may know it; the middle of the village where it is not shown."""
    letters = np.frombuffer(origin.station.encode() or b" ", dtype="S1")
    name = file.create_variable("station_name", ("letters",), data=letters)
    name.attrs.update({"long_name": "name of the station", "cf_role": "timeseries_id"})
    place = origin.places[-1] if origin.places else None
    known = place is not None and place.latitude is not None
    latitude, longitude = (
        (place.latitude, place.longitude) if place and known else question.station.village.centre
    )
    about = (
        f"shown {place.shown}"
        if place and known
        else "its place is not shown: this is the middle of the village"
    )
    for short, value, standard, units, axis in (
        ("lat", latitude, "latitude", "degrees_north", "Y"),
        ("lon", longitude, "longitude", "degrees_east", "X"),
    ):
        made = file.create_variable(short, (), data=np.float64(value))
        made.attrs.update(
            {"standard_name": standard, "long_name": standard, "units": units, "axis": axis, "comment": about}
        )
    if place is not None and place.elevation is not None:
        height = file.create_variable("alt", (), data=np.float64(place.elevation))
        height.attrs.update(
            {"standard_name": "surface_altitude", "long_name": "ground above mean sea level", "units": "m"}
        )


def _variable(file: h5netcdf.File, name: str, series: Series) -> None:
    variable, marks = VARIABLES[name], series.marks[name]
    unit = CANONICAL[variable.unit]
    values = convert(series.values[name], "mm", "m") if variable.unit == "mm" else series.values[name]
    coordinates = "lat lon alt station_name" if "alt" in file.variables else "lat lon station_name"
    common = {"coordinates": coordinates}
    made = file.create_variable(
        name, ("time",), data=values.astype(np.float32), fillvalue=np.float32(np.nan), compression="gzip", shuffle=True
    )  # fmt: skip
    made.attrs.update(
        {
            "long_name": variable.words,
            "units": unit,
            "ancillary_variables": f"{name}_verdict {name}_reasons",
            **({"standard_name": variable.standard_name} if variable.standard_name else {}),
            **METHODS.get(variable.summary, {}),
            **ON_SCALE.get(unit, {}),
            **common,
        }
    )
    measured = np.isfinite(marks)
    bits = np.where(measured, marks, 0).astype(np.int64)
    verdict = np.where(measured, verdict_of(bits), MISSING).astype(np.int8)
    flags = file.create_variable(f"{name}_verdict", ("time",), data=verdict, compression="gzip")
    flags.attrs.update(
        {
            "long_name": f"verdict on the {variable.words}",
            "flag_values": np.array(list(VERDICT_WORDS), dtype=np.int8),
            "flag_meanings": " ".join(VERDICT_WORDS.values()),
            "standard_name": "quality_flag",
            **common,
        }
    )
    why = file.create_variable(
        f"{name}_reasons", ("time",), data=_reasons(bits), compression="gzip", shuffle=True
    )
    why.attrs.update(
        {
            "long_name": f"checks that spoke about the {variable.words}",
            "standard_name": "status_flag",
            "flag_masks": np.array(
                [1 << one.bit for one in CHECKS.values()] + [1 << BY_THE_STEWARD], dtype=np.int64
            ),
            "flag_meanings": " ".join([*CHECKS, "steward"]),
            **common,
        }
    )


def _reasons(bits: np.ndarray) -> np.ndarray:
    """One bit a check, as the checks number them; a steward's word alone where there is one."""
    spoke = np.zeros(len(bits), np.int64)
    for check in CHECKS.values():
        spoke |= (bits >> (REASONS_FROM + check.bit) & 1) << check.bit
    return np.where(bits & STEWARD != 0, np.int64(1) << BY_THE_STEWARD, spoke)
