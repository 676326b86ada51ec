"""Photos of the place, with nothing in them but the picture."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from network.science.siting import DIRECTIONS
from stations.models.placement import Placement
from stations.models.station import Station


class PhotoQuerySet(models.QuerySet):
    """Who may see which photos."""

    def visible(self) -> Self:
        """Those that others may see: where the place is shown exactly, or where the household says so."""
        return self.filter(Q(shown=True) | Q(placement__station__shown=Station.Shown.EXACT))


class Photo(models.Model):
    """A picture of a placement, kept as it was made anew from its pixels: no metadata of the camera's."""

    placement = models.ForeignKey(Placement, on_delete=models.CASCADE, related_name="photos")
    jpeg = models.BinaryField()
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    towards = models.CharField(
        max_length=12, blank=True, choices=[(name, name) for name in DIRECTIONS], help_text="Where it looks."
    )
    words = models.CharField(max_length=200, help_text="What is on it, for those who cannot see it.")
    shown = models.BooleanField(
        default=False, help_text="Others may see it even where the place is not shown exactly."
    )
    added_at = models.DateTimeField(auto_now_add=True)
    added_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )

    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ["added_at"]

    def __str__(self) -> str:
        return f"{self.placement.station}: {self.words}"
