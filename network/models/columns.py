"""One variable of a station over a long span, cut into equal columns where it lies: only the columns travel."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from django.db import connection

from network.models.observation import Observation
from network.models.storage import Floats

VERDICT = 7
"""The bits of a mark that hold its verdict."""


@dataclass(frozen=True)
class Cut:
    """Arrays of shape (n,): of the readings whose verdict counts, NaN where there are none; and counts by verdict."""

    low: Floats
    high: Floats
    mean: Floats
    total: Floats
    counted: dict[int, Floats]


def cut(
    station: int, variable: str, begins_at: int, width: int, count: int, good: tuple[int, ...], others: tuple[int, ...],
    changes: Sequence[tuple[int, int]] = (),
) -> Cut:  # fmt: skip
    """Cut ``count`` columns of ``width`` [s] from ``begins_at`` [UTC epoch s]; figures are of the ``good`` verdicts.

    A reading stamped at a column's end belongs to it. ``changes`` are those of the clock meanwhile, after which
    instant [UTC epoch s] it stands how many seconds ahead of itself as it was at ``begins_at``: columns of days then
    keep to its midnights.
    """
    field = Observation._meta.get_field(variable).column  # of the model: no text of a reader gets here
    verdict, believed = f'("{field}_mark" & {VERDICT})', ", ".join(map(str, good))
    value = f'CASE WHEN {verdict} IN ({believed}) THEN "{field}" END'
    tallies = ", ".join(
        f"SUM(CASE WHEN {verdict} = {int(one)} THEN 1 ELSE 0 END)" for one in (*good, *others)
    )
    on_the_clock = "observed_at" + " + CASE WHEN observed_at > %s THEN %s ELSE 0 END" * len(changes)
    steps = np.diff([ahead for _, ahead in changes], prepend=0).tolist()
    ends_at = begins_at + width * count - (changes[-1][1] if changes else 0)
    query = (
        f"SELECT ({on_the_clock} - %s - 1) / %s, MIN({value}), MAX({value}), AVG({value}), SUM({value}), {tallies}"
        f" FROM {Observation._meta.db_table}"
        f' WHERE station_id = %s AND observed_at > %s AND observed_at <= %s AND "{field}" IS NOT NULL GROUP BY 1'
    )
    with connection.cursor() as cursor:
        moved = [figure for (after, _), step in zip(changes, steps, strict=True) for figure in (after, step)]
        cursor.execute(query, [*moved, begins_at, width, station, begins_at, ends_at])
        found = np.array(cursor.fetchall(), dtype=np.float64).reshape(-1, 5 + len(good) + len(others))
    place = found[:, 0].astype(np.int64)
    made = np.full((4, count), np.nan)
    made[:, place] = found[:, 1:5].T
    tally = np.zeros((len(good) + len(others), count))
    tally[:, place] = found[:, 5:].T
    return Cut(*made, counted=dict(zip((*good, *others), tally, strict=True)))
