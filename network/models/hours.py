"""Summaries as arrays, past the ORM: a year of a station's hours is read in a few milliseconds."""

from collections.abc import Sequence

import numpy as np
from django.db import connection
from numpy.typing import NDArray

from network.models.storage import Floats, single
from network.models.summary import Summary
from network.science.variables import VARIABLES

HOUR = 3600

FIGURE = {"sum": "total", "maximum": "high"}
"""What stands for an hour, by the kind of summary; the mean elsewhere."""


def read_hours(station: int, variable: str, begins_at: int, ends_at: int) -> Floats:
    """What stands for each UTC hour of a station's variable, made of its good readings.

    ``begins_at`` and ``ends_at`` [UTC epoch s] lie on the hour. Shape (hours,), NaN where there is no summary
    or too few readings were good.
    """
    hours = np.full((ends_at - begins_at) // HOUR, np.nan)
    for at, values in read_points([station], variable, Summary.Span.HOUR, begins_at, ends_at).values():
        hours[(at - begins_at) // HOUR] = values
    return hours


def read_points(
    stations: Sequence[int], variable: str, span: Summary.Span, begins_at: int, ends_at: int
) -> dict[int, tuple[NDArray[np.int64], Floats]]:
    """What stands for each hour or day of some stations, of those that have any: its beginnings and values.

    ``begins_at`` and ``ends_at`` [UTC epoch s] bound the beginnings. Arrays have shape (n,), in order of time, and
    leave out where too few readings were good.
    """
    figure = FIGURE.get(VARIABLES[variable].summary, "mean")
    places = ", ".join(["%s"] * len(stations))
    query = (
        f'SELECT "station_id", "begins_at", "{figure}" FROM "{Summary._meta.db_table}" WHERE "station_id" IN ({places})'
        f' AND "span" = %s AND "begins_at" >= %s AND "begins_at" < %s AND "variable" = %s AND "{figure}" IS NOT NULL'
        ' ORDER BY "station_id", "begins_at"'
    )
    if not stations:
        return {}
    with connection.cursor() as cursor:
        cursor.execute(query, [*stations, span.value, begins_at, ends_at, variable])
        found = np.array(cursor.fetchall(), dtype=np.float64).reshape(-1, 3)
    parts = np.split(found, np.flatnonzero(np.diff(found[:, 0])) + 1)
    return {int(p[0, 0]): (p[:, 1].astype(np.int64), single(p[:, 2])) for p in parts if len(p)}
