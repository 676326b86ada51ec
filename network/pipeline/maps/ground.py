"""The height of the ground under a village's map: by its terrain, or else smoothly through its stations."""

from collections.abc import Sequence

from network.pipeline.metadata.stretches import Stretch, as_shown, sites
from network.spatial.elevation import from_stations
from network.spatial.sites import Grid, Sites
from network.spatial.village import LEAST
from stations.models import Ground, Village


def on_its_ground(village: Village, places: Grid | Sites) -> Grid | Sites:
    """The cells of a bare grid with the height of the terrain under them.

    As they came where heights are given already, and where there is no terrain: the stations tell it then.
    """
    terrain = Ground.objects.elevation(village) if isinstance(places, Grid) else None
    if terrain is None or isinstance(places, Sites):
        return places
    terrain.village = village
    bare = places.sites()
    return places.sites(terrain.at(bare.east, bare.north))


def grounded(village: Village, bare: Sites, standing: Sequence[Stretch]) -> Sites | None:
    """Places whose heights are not known, with those of the terrain, or else of a surface through the stations.

    None where there is no terrain and fewer than three stations stand, as others may see them.
    """
    terrain = Ground.objects.elevation(village)
    if terrain is not None:
        terrain.village = village
        return Sites.at(bare.east, bare.north, terrain.at(bare.east, bare.north))
    shown = as_shown(standing)
    if len(shown) < LEAST:
        return None
    return Sites.at(bare.east, bare.north, from_stations(sites(shown, village), bare.east, bare.north))
