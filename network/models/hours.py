"""Summaries as arrays, past the ORM: a year of a station's hours is read in a few milliseconds."""

from collections.abc import Sequence

import numpy as np
from django.db import connection
from numpy.typing import NDArray

from network.models.storage import Floats, single
from network.models.summary import Summary
from network.science.variables import VARIABLES

HOUR = 3600

Points = tuple[NDArray[np.int64], Floats]
"""Beginnings [UTC epoch s] and values, shape (n,), in order of time."""

FIGURE = {"sum": "total", "maximum": "high"}
"""What stands for an hour, by the kind of summary; the mean elsewhere."""


def read_hours(station: int, variable: str, begins_at: int, ends_at: int) -> Floats:
    """What stands for each UTC hour of a station's variable, made of its good readings.

    ``begins_at`` and ``ends_at`` [UTC epoch s] lie on the hour. Shape (hours,), NaN where there is no summary
    or too few readings were good.
    """
    hours = np.full((ends_at - begins_at) // HOUR, np.nan)
    for at, values in read_points([station], [variable], Summary.Span.HOUR, begins_at, ends_at).values():
        hours[(at - begins_at) // HOUR] = values
    return hours


def read_points(
    stations: Sequence[int], variables: Sequence[str], span: Summary.Span, begins_at: int, ends_at: int
) -> dict[tuple[int, str], Points]:
    """What stands for each hour or day of some stations and variables, by both, of those that have any.

    ``begins_at`` and ``ends_at`` [UTC epoch s] bound the beginnings. What too few good readings stand behind is
    left out.
    """
    if not stations or not variables:
        return {}
    figure = " ".join(
        f"WHEN '{name}' THEN \"{FIGURE[kind]}\"" for name, kind in _kinds(variables) if kind in FIGURE
    )
    figure = f'CASE "variable" {figure} ELSE "mean" END' if figure else '"mean"'
    query = (
        f'SELECT "station_id", "variable", "begins_at", {figure} FROM "{Summary._meta.db_table}"'
        f' WHERE "station_id" IN ({_places(stations)}) AND "span" = %s AND "begins_at" >= %s AND "begins_at" < %s'
        f' AND "variable" IN ({_places(variables)}) ORDER BY "station_id", "begins_at"'
    )
    found: dict[tuple[int, str], tuple[list[int], list[float]]] = {}
    with connection.cursor() as cursor:
        cursor.execute(query, [*stations, span.value, begins_at, ends_at, *variables])
        for station, variable, at, value in cursor.fetchall():
            if value is not None:
                points = found.get((station, variable))
                if points is None:
                    points = found[station, variable] = [], []
                points[0].append(at)
                points[1].append(value)
    return {key: (np.array(at, np.int64), single(np.array(told))) for key, (at, told) in found.items()}


def _kinds(variables: Sequence[str]) -> list[tuple[str, str]]:
    return [(name, VARIABLES[name].summary) for name in variables]


def _places(values: Sequence[object]) -> str:
    return ", ".join(["%s"] * len(values))
