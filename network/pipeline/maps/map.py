"""Maps of kept readings, worked out over a grid or at some places."""

from collections.abc import Sequence

from network.models import VillageMap
from network.pipeline.maps.ground import on_its_ground
from network.pipeline.maps.readings import mapped
from network.pipeline.maps.runs import runs
from network.pipeline.metadata.stretches import Stretch
from network.spatial.maps import Map, WindMap, joined, joined_wind
from network.spatial.patterns import Times
from network.spatial.sites import Grid, Sites
from network.spatial.village import TooFew
from stations.models import Village


def estimate(
    village: Village,
    maps: Sequence[VillageMap],
    places: Grid | Sites,
    standing: Sequence[Stretch] | None = None,
) -> Map | WindMap:
    """The maps of one variable, worked out at a grid or at some places; times in the order of ``maps``.

    For everybody's eyes: stations stand where their households let others see them, and one whose place is
    not shown takes no part. Raises TooFew when that leaves fewer than three at every time.

    ``standing`` are the stretches of metadata that hold at those times, when they are at hand.
    """
    variable, places = maps[0].variable, on_its_ground(village, places)
    of_values: list[tuple[Times, Map]] = []
    of_wind: list[tuple[Times, WindMap]] = []
    too_few = []
    for run in runs(village, maps, standing):
        try:
            made = mapped(variable, run.sites, run.noise, run.values, places, run.learnt)
        except TooFew as few:
            too_few.append(few)
            continue
        if isinstance(made, WindMap):
            of_wind.append((run.times, made))
        else:
            of_values.append((run.times, made))
    if of_values:
        return joined(of_values, len(maps))
    if of_wind:
        return joined_wind(of_wind, len(maps))
    raise too_few[-1]


def village_grid(village: Village, rows: int) -> Grid:
    """Square cells over the village's map box, ``rows`` of them from south to north."""
    return Grid.over(village.south, village.north, village.west, village.east, rows)
