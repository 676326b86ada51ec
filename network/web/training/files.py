"""The training table as CSV and as Parquet."""

import csv
import json
from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC, datetime
from tempfile import SpooledTemporaryFile
from typing import IO

import numpy as np

from network.web.download import Line, safe
from network.web.files.origin import checks_version
from network.web.training.columns import Column
from network.web.training.table import Part, Training

IN_MEMORY = 8 * 1024 * 1024
"""[bytes] A larger file waits on disk until it is sent."""


def lines(table: Training) -> Iterator[str]:
    """The header and a line for each row, as they are worked out."""
    writer = csv.writer(Line())
    told = table.columns
    yield writer.writerow([f"{one.name} [{one.unit}]" if one.unit else one.name for one in told])
    for part in table.parts():
        name = safe(part.station)
        cells = [_cells(one, part.figures[one.name]) for one in told[2:]]
        for i, at in enumerate(part.ends_at.tolist()):
            when = f"{datetime.fromtimestamp(at, UTC):%Y-%m-%dT%H:%M:%SZ}"
            yield writer.writerow([name, when, *(column[i] for column in cells)])


def _cells(column: Column, values: np.ndarray) -> list[str]:
    return ["" if value != value else f"{value:.{column.decimals}f}" for value in values.tolist()]


def parquet(table: Training) -> IO[bytes]:
    """The whole file, open at its beginning; a group of rows for each month of a station."""
    import pyarrow as pa  # takes half a second to load
    import pyarrow.parquet as pq

    schema = pa.schema(
        [_field(pa, one) for one in table.columns], metadata={"origin": json.dumps(about(table))}
    )
    file = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 (whoever sends it closes it)
    with pq.ParquetWriter(file, schema, compression="zstd") as writer:
        for part in table.parts():
            writer.write_table(pa.Table.from_arrays(_arrays(pa, part, schema), schema=schema))
    file.seek(0)
    return file


def about(table: Training) -> dict[str, object]:
    """What a file says of itself, wherever it goes."""
    return {
        "village": table.village.name,
        "zone": table.village.zone,
        "begins_at": table.begins_at,
        "ends_at": table.ends_at,
        "checks": checks_version(),
        "columns": [asdict(one) for one in table.columns],
    }


def _field(pa: object, column: Column) -> object:
    kinds = {"station": pa.string(), "ends_at": pa.timestamp("s", tz="UTC")}  # type: ignore[attr-defined]
    kind = kinds.get(column.name, pa.float32() if column.decimals else pa.int16())  # type: ignore[attr-defined]
    return pa.field(column.name, kind, metadata={"unit": column.unit, "means": column.meaning})  # type: ignore[attr-defined]


def _arrays(pa: object, part: Part, schema: object) -> list[object]:
    made = [[part.station] * len(part.ends_at), part.ends_at, *part.figures.values()]
    return [
        pa.array(one, type=field.type, from_pandas=True, safe=False)  # type: ignore[attr-defined]
        for one, field in zip(made, schema, strict=True)  # type: ignore[call-overload]
    ]
