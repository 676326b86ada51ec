"""The height of the ground under a village's map: by its terrain, or else smoothly through its stations."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from network.pipeline.metadata.stretches import Stretch, as_shown, sites
from network.spatial.elevation import from_stations
from network.spatial.sites import Grid, Sites
from network.spatial.village import LEAST
from stations.models import Ground, Village

COVER = {Ground.Kind.WATER_DISTANCE: 1000.0, Ground.Kind.TREE_COVER: 100.0}
"""Layers that a field may follow, in the order of its slopes, and what makes one of each: a kilometre, the whole."""


def on_its_ground(village: Village, places: Grid | Sites) -> Grid | Sites:
    """The cells of a bare grid with the height of the terrain under them.

    As they came where heights are given already, and where there is no terrain: the stations tell it then.
    """
    terrain = Ground.objects.elevation(village) if isinstance(places, Grid) else None
    if terrain is None or isinstance(places, Sites):
        return places
    terrain.village = village
    bare = places.sites()
    return covered(village, places.sites(terrain.at(bare.east, bare.north)))


def covered(village: Village, places: Sites) -> Sites:
    """The places with what else their ground is known to be, in the order of ``COVER``; nought where not known.

    As they came where the village has no such layer, or no terrain: its cells could not follow then.
    """
    layers = {one.kind: one for one in Ground.objects.kept().filter(village=village, kind__in=list(COVER))}
    if not layers or not Ground.objects.kept().filter(village=village, kind=Ground.Kind.ELEVATION).exists():
        return places
    columns = np.zeros((len(places), len(COVER)))
    for column, (kind, unit) in enumerate(COVER.items()):
        if kind in layers:
            layers[kind].village = village
            columns[:, column] = layers[kind].at(places.east, places.north) / unit
    return replace(places, cover=columns)


def grounded(village: Village, bare: Sites, standing: Sequence[Stretch]) -> Sites | None:
    """Places whose heights are not known, with those of the terrain, or else of a surface through the stations.

    None where there is no terrain and fewer than three stations stand, as others may see them.
    """
    terrain = Ground.objects.elevation(village)
    if terrain is not None:
        terrain.village = village
        return covered(village, Sites.at(bare.east, bare.north, terrain.at(bare.east, bare.north)))
    shown = as_shown(standing)
    if len(shown) < LEAST:
        return None
    return Sites.at(bare.east, bare.north, from_stations(sites(shown, village), bare.east, bare.north))
