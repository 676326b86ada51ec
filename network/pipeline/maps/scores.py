"""How good a village's maps were over some days, and how good plainer ones would have been on the same readings."""

from collections import Counter
from dataclasses import dataclass

from django.db.models import Avg, Count, F

from network.models import VillageMap
from network.science.variables import MAPPED, VARIABLES
from stations.models import Village


@dataclass(frozen=True)
class MapScores:
    """One variable's maps, each counting alike; errors of leaving out one station at a time [canonical unit]."""

    variable: str
    maps: int
    bias: float  # predicted minus observed
    mae: float
    rmse: float
    coverage: float  # [1] share inside the 90 % interval
    half_coverage: float  # [1] share inside the 50 % interval
    crps: float
    plain_rmse: float  # by inverse distance
    mean_rmse: float  # by the village mean
    methods: Counter[str]  # by which method how many maps were made


SQUARED = ("rmse", "plain_rmse", "mean_rmse")
MEANS = ("bias", "mae", "coverage", "half_coverage", "crps")


def map_scores(village: Village, begins_at: int, ends_at: int) -> list[MapScores]:
    """Each variable that was mapped between the two times, in the catalogue's order."""
    return [
        scores for name in MAPPED if (scores := _of_variable(village, name, begins_at, ends_at)) is not None
    ]


def _of_variable(village: Village, name: str, begins_at: int, ends_at: int) -> MapScores | None:
    maps = VillageMap.objects.filter(village=village, variable=name, at__gt=begins_at, at__lte=ends_at)
    if VARIABLES[name].summary == "sum":  # that dry places are dry says nothing
        maps = maps.filter(mean_rmse__gt=0)
    found = maps.aggregate(
        maps=Count("at"),
        **{one: Avg(one) for one in MEANS},
        **{f"{one}_squared": Avg(F(one) * F(one)) for one in SQUARED},
    )
    if not found["maps"]:
        return None
    methods = maps.order_by().values_list("method").annotate(count=Count("at"))
    return MapScores(
        variable=name,
        maps=found["maps"],
        methods=Counter(dict(methods)),
        **{one: found[one] for one in MEANS},
        **{one: found[f"{one}_squared"] ** 0.5 for one in SQUARED},
    )
