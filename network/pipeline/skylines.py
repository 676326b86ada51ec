"""Each station's skyline, kept for every spell of the long run."""

from collections.abc import Iterable, Sequence

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
            horizon = skyline_of(record, thresholds).elevation
            if np.isfinite(horizon).any():
                told = [round(high, PLACES) if np.isfinite(high) else None for high in horizon.tolist()]
                rows[record.station] = Skyline(station_id=record.station, spell=spell, horizon=told)
    return list(rows.values())


def keep_skylines(spell: int, stations: Iterable[int], new: Sequence[Skyline]) -> None:
    """Hold a spell's skylines, writing only where they differ."""
    old = Skyline.objects.filter(station__in=list(stations), spell=spell)
    if {one.station_id: one.horizon for one in old} != {one.station_id: one.horizon for one in new}:
        old.delete()
        Skyline.objects.bulk_create(new)
