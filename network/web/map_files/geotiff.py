"""A map as a GeoTIFF: the estimate and its standard error, in degrees of WGS 84."""

import numpy as np
from rasterio.io import MemoryFile
from rasterio.transform import from_bounds

from network.models.storage import Floats
from network.web.map_files.sheet import Sheet

SIGNS = {"Cel": "degC", "m/s": "m s-1"}
"""Units as most programs know them, where the catalogue's sign is another."""


def geotiff(sheet: Sheet) -> bytes:
    """Bands of float32 in the unit people use, each named and with its unit; of wind its two parts, then the error."""
    bands = [(name, sheet.usual(values)) for name, values in sheet.fields.items()]
    bands.append(("standard_error", sheet.usual_difference(sheet.error)))
    rows, columns = sheet.error.shape
    village = sheet.village
    edges = from_bounds(village.west, village.south, village.east, village.north, columns, rows)
    told = {"driver": "GTiff", "dtype": "float32", "crs": "EPSG:4326", "nodata": float("nan")}
    packing = {"compress": "deflate", "predictor": 3}
    with MemoryFile() as memory:
        with memory.open(
            **told, **packing, width=columns, height=rows, count=len(bands), transform=edges
        ) as file:
            for i, (name, values) in enumerate(bands, start=1):
                file.write(_northern_first(values), i)
                file.set_band_description(i, name)
                file.set_band_unit(i, SIGNS.get(sheet.variable.shown_unit, sheet.variable.shown_unit))
            file.update_tags(
                TIFFTAG_IMAGEDESCRIPTION=f"{sheet.variable.words.capitalize()} in {village.name}. {sheet.warning}",
                TIFFTAG_DATETIME=f"{sheet.moment:%Y:%m:%d %H:%M:%S}",
                AREA_OR_POINT="Area",
                SOURCE=sheet.source,
                CREDIT=sheet.credit,
            )
        return bytes(memory.read())


def _northern_first(values: Floats) -> np.ndarray:
    return values[::-1].astype(np.float32)
