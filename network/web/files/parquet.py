"""A station's readings as Parquet: a column each for value, verdict and reasons, with units in the columns' metadata."""

from tempfile import SpooledTemporaryFile
from typing import IO

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from network.models.storage import Rows
from network.pipeline.verdicts.steward import reasons
from network.quality.verdict import VERDICT_WORDS, verdict_of
from network.science.variables import VARIABLES
from network.web.files.asked import Asked
from network.web.files.origin import Origin
from network.web.quantities import in_usual_unit

IN_MEMORY = 8 * 1024 * 1024
"""[bytes] A larger file waits on disk until it is sent."""

WORDS = pa.dictionary(pa.int8(), pa.string())


def parquet(question: Asked, origin: Origin) -> IO[bytes]:
    """The whole file, open at its beginning; a group of rows for each month."""
    variables = [column.name for column in origin.columns]
    schema = _schema(variables, origin)
    file = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 (whoever sends it closes it)
    with pq.ParquetWriter(file, schema, compression="zstd") as writer:
        for rows in question.rows(variables):
            writer.write_table(pa.Table.from_arrays(_columns(rows, variables, origin), schema=schema))
    file.seek(0)
    return file


def _schema(variables: list[str], origin: Origin) -> pa.Schema:
    fields = [
        pa.field("station", WORDS, nullable=False),
        pa.field(
            "observed_at", pa.timestamp("s", tz="UTC"), nullable=False, metadata={"means": origin.times}
        ),
    ]
    for name in variables:
        unit = VARIABLES[name].shown_unit
        fields += [
            pa.field(name, pa.float32(), metadata={"unit": unit, "standard_name": VARIABLES[name].standard_name}),
            pa.field(f"{name}_verdict", WORDS),
            pa.field(f"{name}_reasons", pa.list_(pa.string())),
        ]  # fmt: skip
    return pa.schema(fields, metadata={"origin": origin.as_json()})


def _columns(rows: Rows, variables: list[str], origin: Origin) -> list[pa.Array]:
    made = [
        pa.array([origin.station] * len(rows)).dictionary_encode().cast(WORDS),
        pa.array(rows.at, type=pa.timestamp("s", tz="UTC")),
    ]
    for name in variables:
        marks = rows.columns[f"{name}_mark"]
        measured = np.isfinite(marks)
        values = in_usual_unit(name, rows.columns[name]).round(VARIABLES[name].decimals + 2)
        made += [
            pa.array(values.astype(np.float32), type=pa.float32(), from_pandas=True),
            _each(marks, measured, lambda mark: VERDICT_WORDS[int(verdict_of(mark))]).cast(WORDS),
            _each(marks, measured, reasons, pa.list_(pa.string())),
        ]
    return made


def _each(marks: np.ndarray, measured: np.ndarray, word: object, kind: pa.DataType | None = None) -> pa.Array:
    """A word for each mark, asked once for each that occurs; null where nothing was measured."""
    distinct, which = np.unique(np.where(measured, marks, -1).astype(np.int64), return_inverse=True)
    words = [None if mark < 0 else word(int(mark)) for mark in distinct.tolist()]  # type: ignore[operator]
    return pa.array(words, type=kind or pa.string()).take(pa.array(which))
