"""A gridded estimate of one variable over the village, kept as what it is made from."""

from django.db import models

from network.models.field_fit import FieldFit
from network.science.variables import MAPPED, VARIABLES
from stations.models import Village


class VillageMap(models.Model):
    """One variable at one frame.

    A map is linear in its readings, so the readings used, the stations left out and the fit of its part of the
    day are the map: the grid is one matrix product away (``network.pipeline.maps.map.estimate``), with a
    standard error for every cell.
    """

    pk = models.CompositePrimaryKey("village_id", "variable", "at")
    village = models.ForeignKey(Village, on_delete=models.CASCADE, related_name="maps", db_index=False)
    variable = models.CharField(max_length=32, choices=[(name, VARIABLES[name].words) for name in MAPPED])
    at = models.BigIntegerField(help_text="End of the ten minutes drawn (UTC epoch seconds).")
    used = models.JSONField(help_text="[station, value] of each reading the map stands on, canonical unit.")
    left_out = models.JSONField(
        default=list, help_text="[station, why] of each that reports and is not used."
    )
    part = models.CharField(max_length=5, choices=FieldFit.Part, help_text="By whose fit it is made.")
    method = models.CharField(max_length=16, help_text="The plainest that served best.")
    bias = models.FloatField(
        help_text="Mean error when each station is left out in turn (predicted minus observed)."
    )
    mae = models.FloatField(help_text="Mean absolute error of the same.")
    rmse = models.FloatField(help_text="Root mean square error of the same.")
    coverage = models.FloatField(help_text="Share of the left-out readings inside the 90 % interval.")
    half_coverage = models.FloatField(help_text="Share of them inside the 50 % interval.")
    crps = models.FloatField(help_text="Mean continuous ranked probability score of the same.")
    plain_rmse = models.FloatField(help_text="RMSE of inverse distance weighting on the same readings.")
    mean_rmse = models.FloatField(help_text="RMSE of the mean of the other stations on the same.")

    class Meta:
        ordering = ["at"]

    def __str__(self) -> str:
        return f"{self.variable} at {self.at}"
