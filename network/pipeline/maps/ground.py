"""The height of the ground under a village's map: by its terrain where the steward gave one."""

from network.spatial.sites import Grid, Sites
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
