"""Kept maps as the arrays they stand on, one run of them for each set of parameters that holds."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from network.models import VillageMap
from network.models.storage import Floats
from network.pipeline.maps.fits import Known
from network.pipeline.maps.ground import covered
from network.pipeline.maps.readings import WIND
from network.pipeline.metadata.stretches import Stretch, as_shown, sites, stretches
from network.pipeline.neighbours.scorecard import errors_in_maps, kept
from network.spatial.learnt import Learnt
from network.spatial.sites import Sites
from stations.models import Village


@dataclass(frozen=True)
class Run:
    """Maps of one variable that are made alike: n stretches of stations, t of the maps."""

    times: NDArray[np.intp]  # (t,) which of the maps
    learnt: Learnt  # how they are made
    stations: tuple[int, ...]  # (n,) whose stretch each is
    sites: Sites  # n, where their households let others see them
    noise: Floats  # (n,) [canonical unit]
    values: Floats  # (parts, n, t), NaN where silent; two parts of wind, eastward and northward, else one


def runs(
    village: Village, maps: Sequence[VillageMap], standing: Sequence[Stretch] | None = None
) -> Iterator[Run]:
    """For everybody's eyes: a station whose place is not shown takes no part.

    ``standing`` are the stretches of metadata that hold at the times of the maps, when they are at hand.
    """
    if standing is None:
        standing = stretches(village, min(m.at for m in maps) - 1, max(m.at for m in maps))
    shown = as_shown(standing)
    variable, at = maps[0].variable, [one.at for one in maps]
    values = _values(shown, maps)
    where = covered(village, sites(shown, village))
    known = Known.over(village, min(at), max(at))
    for times, learnt in known.by_time(variable, at, [one.part for one in maps]):
        scored = kept({place.station for place in shown}, at[times[-1]] - 1)
        yield Run(
            times,
            learnt,
            tuple(place.station for place in shown),
            where,
            errors_in_maps(shown, variable, scored),
            values[:, :, times],
        )


def _values(shown: Sequence[Stretch], maps: Sequence[VillageMap]) -> Floats:
    """What the maps' readings say, (parts, n, t), each with the stretch that it was read in."""
    at = np.array([one.at for one in maps])
    rows: dict[int, list[int]] = {}
    for i, place in enumerate(shown):
        rows.setdefault(place.station, []).append(i)
    begins = np.array([place.begins_at for place in shown], dtype=np.int64)
    ends = np.array([place.ends_at for place in shown], dtype=np.int64)
    values = np.full((2 if maps[0].variable == WIND else 1, len(shown), len(maps)), np.nan)
    for t, one in enumerate(maps):
        for station, *said in one.used:
            for i in rows.get(station, ()):
                if begins[i] <= at[t] - 1 < ends[i]:
                    values[:, i, t] = said
    return values
