"""A map as CF-netCDF: estimate, standard error, flags and the ground, each with what it means."""

from datetime import UTC, datetime
from io import BytesIO
from typing import Any

import numpy as np
from scipy.io import netcdf_file

from network.models.storage import Floats
from network.spatial.distance import FLATTENING, SEMI_MAJOR_AXIS
from network.web.map_files.sheet import Sheet

UNITS = {"m/s": "m s-1"}
"""Units as UDUNITS writes them, where the catalogue's sign is another."""

CELLS = ("time", "latitude", "longitude")

ON_SCALE, DIFFERENCE = ({"units_metadata": f"temperature: {kind}"} for kind in ("on_scale", "difference"))
"""What the kelvins of a temperature mean, and those of its error: section 3.1.2 of the conventions."""


def netcdf(sheet: Sheet) -> bytes:
    """A classic netCDF file after the CF conventions 1.11.

    Source: Eaton et al., NetCDF Climate and Forecast Metadata Conventions, version 1.11: sections 2.6.2
    (description), 3.3 and its modifier standard_error, 3.4 (ancillary variables), 3.5 (flags), 5.6 (grid
    mapping), 7.1 (bounds) and 7.3 (cell methods).
    """
    out = BytesIO()
    file = netcdf_file(out, "w")
    _about(file, sheet)
    _axes(file, sheet)
    unit = UNITS.get(sheet.variable.unit, sheet.variable.unit)
    on_scale, difference = (ON_SCALE, DIFFERENCE) if unit == "K" else ({}, {})
    for name, values in sheet.fields.items():
        part = len(sheet.fields) > 1
        standard, words = (
            (name, name.replace("_", " ")) if part else (sheet.variable.standard_name, sheet.variable.words)
        )
        cells = _grid(file, name, values, unit, words, standard)
        _tell(
            cells,
            cell_methods="time: sum" if sheet.variable.summary == "sum" else "time: mean",
            ancillary_variables=f"{name}_standard_error confidence",
            **on_scale,
        )
        error = _grid(
            file, f"{name}_standard_error", sheet.error, unit, f"standard error of the {words}",
            f"{standard} standard_error",
        )  # fmt: skip
        _tell(error, **difference)
    _grid(file, "surface_altitude", sheet.elevation, "m", "height of the ground", "surface_altitude")
    flags = file.createVariable("confidence", "b", CELLS)
    flags[:] = sheet.guessed[None].astype(np.int8)
    _tell(
        flags,
        standard_name="quality_flag",
        long_name="whether the standard error exceeds half the step of the map's isolines",
        flag_values=np.array([0, 1], dtype=np.int8),
        flag_meanings="known guessed",
        grid_mapping="crs",
    )
    file.flush()
    return out.getvalue()


def _about(file: netcdf_file, sheet: Sheet) -> None:
    village = sheet.village
    _tell(
        file,
        Conventions="CF-1.11",
        title=f"{sheet.variable.words.capitalize()} in {village.name}, estimated between weather stations",
        institution=f"The households of {village.name} that keep weather stations",
        source=f"Surface observations: {sheet.source}",
        history=f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ} estimated from the readings by the village weather hub",
        references="Cressie (1993), Statistics for Spatial Data, section 3.4",
        comment=" ".join(
            part for part in (sheet.warning, sheet.credit and f"Ground: {sheet.credit}.") if part
        ),
    )


def _axes(file: netcdf_file, sheet: Sheet) -> None:
    """Coordinates, the time the values are of, and the figure of the Earth."""
    file.createDimension("bounds", 2)
    for name, values, unit, axis in (
        ("latitude", sheet.latitude, "degrees_north", "Y"),
        ("longitude", sheet.longitude, "degrees_east", "X"),
    ):
        file.createDimension(name, values.size)
        half = (values[1] - values[0]) / 2 if values.size > 1 else 0.0
        along = file.createVariable(name, "d", (name,))
        along[:] = values
        _tell(along, standard_name=name, long_name=name, units=unit, axis=axis, bounds=f"{name}_bounds")
        file.createVariable(f"{name}_bounds", "d", (name, "bounds"))[:] = values[:, None] + [-half, half]
    file.createDimension("time", 1)
    time = file.createVariable("time", "d", ("time",))
    time[:] = [sheet.kept.at]
    _tell(
        time, standard_name="time", long_name="end of the time the values are of", calendar="standard",
        units="seconds since 1970-01-01T00:00:00Z", units_metadata="leap_seconds: none", bounds="time_bounds",
        axis="T",
    )  # fmt: skip
    file.createVariable("time_bounds", "d", ("time", "bounds"))[:] = [[sheet.begins_at, sheet.kept.at]]
    _tell(
        file.createVariable("crs", "i", ()),
        grid_mapping_name="latitude_longitude",
        long_name="WGS 84",
        longitude_of_prime_meridian=0.0,
        semi_major_axis=SEMI_MAJOR_AXIS,
        inverse_flattening=1 / FLATTENING,
    )


def _grid(file: netcdf_file, name: str, values: Floats, unit: str, words: str, standard: str) -> Any:
    cells = file.createVariable(name, "f", CELLS)
    cells[:] = values[None].astype(np.float32)
    _tell(cells, units=unit, long_name=words, standard_name=standard, grid_mapping="crs")
    return cells


def _tell(what: Any, **attributes: Any) -> None:
    for name, value in attributes.items():
        setattr(what, name, value.encode() if isinstance(value, str) else value)
