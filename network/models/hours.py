"""Hours of summaries as arrays on one even grid, past the ORM: a year of a station is read in a few milliseconds."""

import numpy as np
from django.db import connection

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
    figure = FIGURE.get(VARIABLES[variable].summary, "mean")
    query = (
        f'SELECT "begins_at", "{figure}" FROM "{Summary._meta.db_table}" WHERE "station_id" = %s AND "span" = %s'
        f' AND "begins_at" >= %s AND "begins_at" < %s AND "variable" = %s AND "{figure}" IS NOT NULL'
    )
    with connection.cursor() as cursor:
        cursor.execute(query, [station, Summary.Span.HOUR.value, begins_at, ends_at, variable])
        found = np.array(cursor.fetchall(), dtype=np.float64).reshape(-1, 2)
    hours = np.full((ends_at - begins_at) // HOUR, np.nan)
    hours[((found[:, 0] - begins_at) // HOUR).astype(np.int64)] = single(found[:, 1])
    return hours
