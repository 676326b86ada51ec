"""Wide rows to arrays and back, past the ORM: a day of a village is read and written in one go.

Arrays travel in single precision, as PostgreSQL stores them, so that both databases keep the same bytes.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from django.db import connection, models
from numpy.typing import NDArray

from network.models.fields import RealField

Floats = NDArray[np.float64]
INTEGERS = (models.IntegerField, models.BigIntegerField)


@dataclass(frozen=True)
class Rows:
    """Rows of one wide table, ordered by station and time. NaN stands for NULL."""

    station: NDArray[np.int64]
    at: NDArray[np.int64]
    columns: dict[str, Floats]

    def __len__(self) -> int:
        return len(self.at)

    def of(self, station: int) -> "Rows":
        """The rows of one station, as views."""
        first, last = np.searchsorted(self.station, [station, station + 1])
        return self.between(int(first), int(last))

    def between(self, first: int, last: int) -> "Rows":
        """Rows ``first`` .. ``last`` - 1, as views."""
        return Rows(
            self.station[first:last],
            self.at[first:last],
            {name: column[first:last] for name, column in self.columns.items()},
        )

    def matrix(self) -> Floats:
        """All columns side by side, shape (rows, columns)."""
        if not self.columns:
            return np.empty((len(self), 0))
        return np.column_stack(list(self.columns.values()))

    @classmethod
    def join(cls, parts: Sequence["Rows"], names: Sequence[str]) -> "Rows":
        """Several stations' rows as one, ordered; a column a part does not have is NaN there."""
        if len(parts) == 1 and list(parts[0].columns) == list(names):
            return parts[0]
        if not parts:
            return cls(np.empty(0, np.int64), np.empty(0, np.int64), {name: np.empty(0) for name in names})
        parts = sorted(parts, key=lambda rows: rows.station[0] if len(rows) else -1)
        columns = {
            name: np.concatenate([rows.columns.get(name, np.full(len(rows), np.nan)) for rows in parts])
            for name in names
        }
        return cls(np.concatenate([r.station for r in parts]), np.concatenate([r.at for r in parts]), columns)


def single(values: Floats) -> Floats:
    """The values as the database keeps them; NaN where one is beyond single precision."""
    with np.errstate(over="ignore"):
        kept = values.astype(np.float32).astype(np.float64)
    return np.where(np.isinf(kept), np.nan, kept)


def read(
    model: type[models.Model], stations: Iterable[int], begins_at: int, ends_at: int, columns: Sequence[str]
) -> Rows:
    """The stations' rows with ``begins_at`` <= time < ``ends_at``; every column as float64, NULL as NaN."""
    stations = sorted(stations)
    if not stations:
        return Rows.join([], columns)
    table, time = model._meta.db_table, _time_column(model)
    wanted = ", ".join([f'"{time}"', *(f'"{name}"' for name in columns)])
    where = f'"{time}" >= %s AND "{time}" < %s'
    # One range scan of the primary key for each station: the planner need not be trusted with IN.
    query = f'SELECT {wanted} FROM "{table}" WHERE "station_id" = %s AND {where} ORDER BY "{time}"'
    # PostgreSQL says a real in the fewest digits that tell it apart: as a double those are another number.
    shortened = (
        [name for name in columns if isinstance(model._meta.get_field(name), RealField)]
        if connection.vendor == "postgresql"
        else []
    )
    parts = []
    with connection.cursor() as cursor:
        for station in stations:
            cursor.execute(query, [station, begins_at, ends_at])
            # By the thousand: a cursor that is asked row by row takes longer to ask than to answer.
            rows = chain.from_iterable(iter(lambda: cursor.fetchmany(1000), []))
            found = np.fromiter(rows, dtype=np.dtype((np.float64, (len(columns) + 1,))))
            values = {
                name: single(column) if name in shortened else column
                for name, column in zip(columns, found.T[1:], strict=True)
            }
            parts.append(Rows(np.full(len(found), station, np.int64), found[:, 0].astype(np.int64), values))
    return Rows.join(parts, columns)


def replace(model: type[models.Model], old: Rows, new: Rows) -> NDArray[np.int64]:
    """Make the table hold ``new`` where it held ``old``, touching only rows that differ.

    Both must have the same columns and cover the same stations and span. Returns the times of the rows
    that were written or removed.
    """
    old_keys, new_keys = _keys(old), _keys(new)
    _, in_old, in_new = np.intersect1d(old_keys, new_keys, assume_unique=True, return_indices=True)
    same = _equal(old.matrix()[in_old], new.matrix()[in_new])
    gone = np.ones(len(old), bool)
    gone[in_old[same]] = False
    fresh = np.ones(len(new), bool)
    fresh[in_new[same]] = False
    _delete(model, zip(old.station[gone].tolist(), old.at[gone].tolist(), strict=True))
    insert(model, new, fresh)
    return np.union1d(old.at[gone], new.at[fresh])


def insert(model: type[models.Model], rows: Rows, which: NDArray[np.bool_] | slice = slice(None)) -> None:
    """Add rows that the table does not have yet: COPY on PostgreSQL, executemany elsewhere."""
    names = ["station_id", _time_column(model), *rows.columns]
    table = np.column_stack([rows.station[which], rows.at[which], rows.matrix()[which]])
    if not len(table):
        return
    columns = ", ".join(f'"{name}"' for name in names)
    if connection.vendor == "postgresql":
        with (
            connection.cursor() as cursor,
            cursor.copy(f'COPY "{model._meta.db_table}" ({columns}) FROM STDIN') as copy,
        ):
            for row in _typed(model, names, table):
                copy.write_row(row)
        return
    places = ", ".join(["%s"] * len(names))
    with connection.cursor() as cursor:
        # SQLite stores NaN as NULL and a whole float in an integer column as the integer.
        cursor.executemany(
            f'INSERT INTO "{model._meta.db_table}" ({columns}) VALUES ({places})', table.tolist()
        )


def _typed(model: type[models.Model], names: Sequence[str], table: Floats) -> Iterator[tuple]:
    """Rows with whole numbers as int and NaN as None, as PostgreSQL wants them."""
    columns = []
    for name, column in zip(names, table.T, strict=True):
        whole = name == "station_id" or isinstance(model._meta.get_field(name), INTEGERS)
        kind = int if whole else float
        columns.append([None if value != value else kind(value) for value in column.tolist()])
    return zip(*columns, strict=True)


def _delete(model: type[models.Model], keys: Iterable[tuple[int, int]]) -> None:
    keys = list(keys)
    if keys:
        time = _time_column(model)
        with connection.cursor() as cursor:
            cursor.executemany(
                f'DELETE FROM "{model._meta.db_table}" WHERE "station_id" = %s AND "{time}" = %s', keys
            )


def _time_column(model: type[models.Model]) -> str:
    return model._meta.pk.field_names[1]  # type: ignore[union-attr]


def _keys(rows: Rows) -> NDArray[np.void]:
    keys = np.empty(len(rows), dtype=[("station", np.int64), ("at", np.int64)])
    keys["station"], keys["at"] = rows.station, rows.at
    return keys


def _equal(a: Floats, b: Floats) -> NDArray[np.bool_]:
    """Row by row, NaN equal to NaN."""
    return ((a == b) | (np.isnan(a) & np.isnan(b))).all(axis=1)
