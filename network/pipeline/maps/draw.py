"""Stage: the village's maps. What is kept is the readings a map stands on; the grid follows from them."""

from collections.abc import Callable, Iterator

import numpy as np

from network.models import VillageMap
from network.models.storage import Floats
from network.pipeline.ledger import blocks, work
from network.pipeline.maps.fits import Known, parts_of, parts_of_day
from network.pipeline.maps.ground import covered
from network.pipeline.maps.readings import left_out, mapped, readings
from network.pipeline.neighbours.frames import Frames, frames
from network.science.variables import MAPPED
from network.spatial.learnt import others_mean
from network.spatial.patterns import patterns
from network.spatial.scores import rmse
from network.spatial.village import LEAST, Map, TooFew, WindMap
from stations.models import Village

KEPT = tuple(field.attname for field in VillageMap._meta.concrete_fields if not field.primary_key)


def draw(village_id: int, block: int) -> Callable[[], None]:
    """Note for every frame of the block what each variable's map stands on and how well it does."""
    village = Village.objects.get(pk=village_id)
    seen = frames(village, block, block + blocks.BLOCK)
    new = {(one.variable, one.at): one for one in _maps(seen)} if seen.places else {}
    old = VillageMap.objects.filter(village=village, at__gt=block, at__lte=block + blocks.BLOCK)
    return work.then(_keep, {(one.variable, one.at): one for one in old}, new)


def _keep(old: dict[tuple[str, int], VillageMap], new: dict[tuple[str, int], VillageMap]) -> None:
    gone = [one.pk for key, one in old.items() if key not in new or _content(one) != _content(new[key])]
    for village, variable, at in gone:
        VillageMap.objects.filter(village_id=village, variable=variable, at=at).delete()
    fresh = [one for key, one in new.items() if key not in old or _content(one) != _content(old[key])]
    VillageMap.objects.bulk_create(fresh)


def _content(one: VillageMap) -> tuple[object, ...]:
    return tuple(getattr(one, name) for name in KEPT)


def _maps(seen: Frames) -> Iterator[VillageMap]:
    known = Known.over(seen.village, int(seen.at[0]), int(seen.at[-1]))
    of_day, sites = parts_of_day(seen.at, seen.village), covered(seen.village, seen.sites)
    # An hour's rain would be told of ten minutes more, and more, after the last report.
    heard = seen.at - blocks.FRAME < max((int(rows.at[-1]) for rows in seen.rows if len(rows)), default=0)
    for name in MAPPED:
        values, parts = readings(seen, name), parts_of(name, of_day)
        missed = left_out(seen, name, values)
        by_mean = _by_mean(values)
        noise = seen.error_in_maps(name)
        for times, learnt in known.by_time(name, seen.at, parts):
            try:  # at one place only: the scores are those of the whole
                made = mapped(name, sites, noise, values[:, :, times], sites[:1], learnt)
            except TooFew:
                continue
            scores = _scores(made, by_mean[times])
            for i, t in enumerate(times.tolist()):
                if heard[t] and made.used[i] >= LEAST:
                    yield VillageMap(
                        village=seen.village,
                        variable=name,
                        at=int(seen.at[t]),
                        used=_used(seen, values[:, :, t]),
                        left_out=missed[t],
                        part=str(parts[t]),
                        method=learnt.method,
                        **scores[i],
                    )


def _scores(made: Map | WindMap, by_mean: Floats) -> list[dict[str, float]]:
    """The scores of each time, by the names of the model's fields."""
    own, plain = made.scores, made.plain_scores
    told = {
        "bias": own.bias,
        "mae": own.mae,
        "rmse": own.rmse,
        "coverage": own.coverage,
        "half_coverage": own.half_coverage,
        "crps": own.crps,
        "plain_rmse": plain.rmse,
        "mean_rmse": by_mean,
    }
    rows = np.nan_to_num(np.array(list(told.values())).round(6)).T.tolist()
    return [dict(zip(told, row, strict=True)) for row in rows]


def _by_mean(values: Floats) -> Floats:
    """RMSE (t,) of the mean of the others at each station, from values (parts, n, t)."""
    expected = np.full(values.shape, np.nan)
    for mask, times in patterns(np.isfinite(values).all(axis=0)):
        if mask.sum() >= LEAST:
            for part in range(len(values)):
                expected[part][np.ix_(mask, times)] = others_mean(values[part][np.ix_(mask, times)])
    return rmse(expected.reshape(-1, values.shape[2]), values.reshape(-1, values.shape[2]), 0)


def _used(seen: Frames, values: Floats) -> list[list[float]]:
    """[station, value], or [station, two parts], of each that speaks, from values (parts, n)."""
    known = np.isfinite(values).all(axis=0)
    return [[seen.places[i].station, *values[:, i].tolist()] for i in np.flatnonzero(known)]
