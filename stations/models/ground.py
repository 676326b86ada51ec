"""The ground a village stands on, layer by layer, as its steward gave it: heights, cover, and what is drawn."""

import zlib
from typing import Self

import numpy as np
from django.conf import settings
from django.db import models
from django.db.models import Q
from numpy.typing import ArrayLike, NDArray

from network.spatial.distance import Origin, local_plane
from network.spatial.elevation import from_terrain
from network.spatial.sites import Grid
from stations.models.village import Village

ROWS = 200
"""Cells of a raster from south to north: ten metres of a village of two kilometres."""

Floats = NDArray[np.float64]


class GroundQuerySet(models.QuerySet):
    """Layers of the ground, proposed or kept."""

    def kept(self) -> Self:
        """Those in use: one of each kind at most."""
        return self.exclude(kept_at=None)

    def proposed(self) -> Self:
        """Those that were read and wait for their steward's look."""
        return self.filter(kept_at=None)

    def elevation(self, village: Village) -> "Ground | None":
        """The heights in use, if the village has any."""
        return self.kept().filter(village=village, kind=Ground.Kind.ELEVATION).first()


class Ground(models.Model):
    """One layer: a raster on the village's map box, or lines and areas; in use once it was looked at and kept."""

    class Kind(models.TextChoices):
        ELEVATION = "elevation", "height of the ground"
        WATER_DISTANCE = "water_distance", "distance to water"
        TREE_COVER = "tree_cover", "tree cover"
        OUTLINE = "outline", "outline of the village"
        STREETS = "streets", "streets and lanes"
        WATER = "water", "water"

    RASTERS = (Kind.ELEVATION, Kind.WATER_DISTANCE, Kind.TREE_COVER)
    DRAWN = (Kind.OUTLINE, Kind.STREETS, Kind.WATER)

    village = models.ForeignKey(Village, on_delete=models.CASCADE, related_name="ground")
    kind = models.CharField(max_length=16, choices=Kind)
    credit = models.CharField(max_length=200, help_text="Whose work it is, as its publisher wants it named.")
    file_name = models.CharField(max_length=120)
    south = models.FloatField(help_text="Edges of the map it was read for: degrees, WGS 84.")
    north = models.FloatField()
    west = models.FloatField()
    east = models.FloatField()
    rows = models.PositiveIntegerField(default=0, help_text="Of a raster; its columns follow from the edges.")
    packed = models.BinaryField(
        default=bytes, help_text="A raster: float32, little-endian, south first, deflated."
    )
    shapes = models.JSONField(default=list, help_text="Lines and areas: GeoJSON geometries.")
    remark = models.CharField(max_length=300, blank=True, help_text="What was seen when it was read.")
    given_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    given_at = models.DateTimeField(auto_now_add=True)
    kept_at = models.DateTimeField(null=True, blank=True)

    objects = GroundQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["village", "kind"],
                condition=~Q(kept_at=None),
                name="ground_one_of_each_kind_kept",
                violation_error_message="The village already has a layer of this kind. Take that back first.",
            ),
            models.UniqueConstraint(
                fields=["village", "kind"],
                condition=Q(kept_at=None),
                name="ground_one_of_each_kind_proposed",
                violation_error_message="A layer of this kind already waits to be looked at.",
            ),
            models.CheckConstraint(condition=~Q(credit=""), name="ground_names_its_source"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.village}"

    @property
    def origin(self) -> Origin:
        """Where the plane of its cells touches the Earth: the middle of the map it was read for."""
        return (self.south + self.north) / 2, (self.west + self.east) / 2

    @property
    def grid(self) -> Grid:
        """The cells of a raster."""
        return Grid.over(self.south, self.north, self.west, self.east, self.rows)

    @property
    def cells(self) -> Floats:
        """A raster's values, (rows, columns), south in row 0: metres, or of tree cover a share."""
        flat = np.frombuffer(zlib.decompress(self.packed), dtype="<f4")
        return flat.reshape(self.rows, -1).astype(np.float64)

    @cells.setter
    def cells(self, values: ArrayLike) -> None:
        cells = np.asarray(values, dtype="<f4")
        self.rows, self.packed = len(cells), zlib.compress(cells.tobytes(), 6)

    def at(self, east: ArrayLike, north: ArrayLike) -> Floats:
        """A raster's values at places on the village's plane [m]; beyond its edge those of the nearest cell."""
        # The village's edges may have been moved since: its plane then touches elsewhere.
        away = local_plane(*self.origin, self.village.centre)
        x, y = (np.asarray(part, dtype=np.float64) - by for part, by in zip((east, north), away, strict=True))
        return from_terrain(self.cells, self.grid, x, y)
