"""Each station's skyline, kept for every spell of the long run."""

from collections.abc import Iterable, Sequence
from operator import attrgetter

import numpy as np

from network.models import Skyline
from network.quality.checks.shaded import CHECK, skyline_of
from network.quality.record import Record

PLACES = 1
"""Decimals of a degree kept."""


def skylines(records: Sequence[Record], spell: int) -> list[Skyline]:
    """A row for each station whose light sensor saw the sun; of several records of one the last counts."""
    rows = {}
    for record in records:
        if "irradiance" in record.values:
            thresholds = {**CHECK.thresholds, **record.overrides.get(CHECK.name, {})}
            seen = skyline_of(record, thresholds)
            if seen.moments.any():
                rows[record.station] = Skyline(
                    station_id=record.station,
                    spell=spell,
                    since=int(record.seconds[0]),
                    horizon=[
                        round(high, PLACES) if np.isfinite(high) else None for high in seen.elevation.tolist()
                    ],
                    moments=seen.moments.tolist(),
                )
    return list(rows.values())


def keep_skylines(spell: int, stations: Iterable[int], new: Sequence[Skyline]) -> None:
    """Hold a spell's skylines, writing only those that differ and dropping those that are gone."""
    told = attrgetter("since", "horizon", "moments")
    old = {one.station_id: one for one in Skyline.objects.filter(station__in=list(stations), spell=spell)}
    same = {one.station_id for one in new if one.station_id in old and told(one) == told(old[one.station_id])}
    if stale := old.keys() - same:
        Skyline.objects.filter(station__in=stale, spell=spell).delete()
    Skyline.objects.bulk_create(one for one in new if one.station_id not in same)
