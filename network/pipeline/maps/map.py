"""Stage: the village's maps. What is kept is the readings a map stands on; the grid follows from them."""

from collections.abc import Callable, Sequence

import numpy as np

from network.models import VillageMap
from network.models.storage import Floats
from network.pipeline.ledger import blocks, work
from network.pipeline.maps.wind import vectors_at_ten_metres
from network.pipeline.metadata.stretches import Stretch, as_shown, sites, stretches
from network.pipeline.neighbours.frames import Frames, Use, frames
from network.pipeline.neighbours.scorecard import errors_in_maps, kept
from network.science.variables import MAPPED, VARIABLES
from network.spatial.distance import local_plane
from network.spatial.sites import Grid, Sites
from network.spatial.village import LEAST, Map, TooFew, WindMap, map_field, map_wind
from stations.models import Village

PLACES = 4
"""Decimals of a canonical value kept with a map."""


def draw(village_id: int, block: int) -> Callable[[], None]:
    """Note for every frame of the block what each variable's map stands on and how well it does."""
    village = Village.objects.get(pk=village_id)
    seen = frames(village, block, block + blocks.BLOCK)
    maps = [one for name in MAPPED for one in _maps(seen, name)] if seen.places else []
    old = VillageMap.objects.filter(village=village, at__gt=block, at__lte=block + blocks.BLOCK)
    return work.then(_keep, {(m.variable, m.at): m for m in old}, {(m.variable, m.at): m for m in maps})


def _keep(old: dict[tuple[str, int], VillageMap], new: dict[tuple[str, int], VillageMap]) -> None:
    gone = [one.pk for key, one in old.items() if key not in new or _content(one) != _content(new[key])]
    for village, variable, at in gone:
        VillageMap.objects.filter(village_id=village, variable=variable, at=at).delete()
    fresh = [one for key, one in new.items() if key not in old or _content(one) != _content(old[key])]
    VillageMap.objects.bulk_create(fresh)


def _content(one: VillageMap) -> tuple[object, ...]:
    return one.used, one.left_out, one.bias, one.mae, one.rmse, one.coverage, one.plain_rmse


def _maps(seen: Frames, name: str) -> list[VillageMap]:
    values = seen.values(name, Use.DRAWN).round(PLACES)
    made = _scored(seen, name, values)
    if made is None:
        return []
    left_out = seen.left_out(name)
    extra = vectors_at_ten_metres(seen) if name == "wind_speed" else None
    return [
        VillageMap(
            village=seen.village,
            variable=name,
            at=int(at),
            used=_used(seen, values[:, t], None if extra is None else [part[:, t] for part in extra]),
            left_out=left_out[t],
            bias=_figure(made.scores.bias[t]),
            mae=_figure(made.scores.mae[t]),
            rmse=_figure(made.scores.rmse[t]),
            coverage=_figure(made.scores.coverage[t]),
            plain_rmse=_figure(made.plain_scores.rmse[t]),
        )
        for t, at in enumerate(seen.at)
        if made.used[t] >= LEAST
    ]


def _scored(seen: Frames, name: str, values: Floats) -> Map | WindMap | None:
    """The map at one place only: its scores are those of the whole."""
    try:
        if name == "wind_speed":
            eastward, northward = vectors_at_ten_metres(seen)
            return map_wind(seen.sites, seen.error_in_maps(name), eastward, northward, seen.sites[:1])
        return map_field(VARIABLES[name], seen.sites, seen.error_in_maps(name), values, seen.sites[:1])
    except TooFew:
        return None


def _used(seen: Frames, values: Floats, vectors: Sequence[Floats] | None) -> list[list[float]]:
    parts = [values] if vectors is None else [part.round(PLACES) for part in vectors]
    known = np.isfinite(np.stack(parts)).all(axis=0)
    return [[seen.places[i].station, *(float(part[i]) for part in parts)] for i in np.flatnonzero(known)]


def _figure(value: float) -> float:
    return float(np.round(value, 6)) if np.isfinite(value) else 0.0


def estimate(
    village: Village,
    maps: Sequence[VillageMap],
    places: Grid | Sites,
    standing: Sequence[Stretch] | None = None,
) -> Map | WindMap:
    """The maps of one variable, worked out at a grid or at some places; times in the order of ``maps``.

    For everybody's eyes: stations stand where their households let others see them, and one whose place is
    not shown takes no part. Raises TooFew when that leaves fewer than three.

    All must have been made of the same stretches of metadata as hold at their own times: ``standing``, when
    they are at hand.
    """
    if standing is None:
        standing = stretches(village, min(m.at for m in maps) - 1, max(m.at for m in maps))
    standing = as_shown(standing)
    where = {(place.station, t): i for i, place in enumerate(standing) for t in _times(place, maps)}
    parts = 2 if maps[0].variable == "wind_speed" else 1
    values = np.full((parts, len(standing), len(maps)), np.nan)
    for t, one in enumerate(maps):
        for station, *said in one.used:
            if (station, t) in where:
                values[:, where[station, t], t] = said
    variable = VARIABLES[maps[0].variable]
    scored = kept({place.station for place in standing}, maps[-1].at - 1)
    noise = errors_in_maps(standing, variable.name, scored)
    spots = sites(standing, village)
    if parts == 2:
        return map_wind(spots, noise, values[0], values[1], places)
    return map_field(variable, spots, noise, values[0], places)


def _times(place: Stretch, maps: Sequence[VillageMap]) -> list[int]:
    return [t for t, one in enumerate(maps) if place.begins_at <= one.at - 1 < place.ends_at]


def village_grid(village: Village, rows: int) -> Grid:
    """Square cells over the village's map box, ``rows`` of them from south to north."""
    (west, east), (south, north) = local_plane(
        np.array([village.south, village.north]), np.array([village.west, village.east]), village.centre
    )
    columns = max(round(rows * (east - west) / (north - south)), 1)
    return Grid(float(west), float(south), float(east), float(north), rows, columns)
