"""GET /api/villages/<slug>/maps: a map as arrays, each cell with its standard error."""

from typing import Any

import numpy as np
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.models import VillageMap
from network.pipeline.maps.map import estimate, village_grid
from network.spatial.distance import from_local_plane
from network.spatial.sites import Grid
from network.spatial.village import Map, WindMap
from network.web.api import told
from network.web.api.asked import Moment, Question, mapped, units
from network.web.api.drawn import drawn
from network.web.api.resource import Resource
from network.web.api.shapes import LeftOutShape, UsedShape, VariableShape, described
from stations.models import Station, Village

CELLS = serializers.ListField(child=serializers.ListField(child=serializers.FloatField()), required=False)


class MapQuestion(Question):
    variable = mapped()
    at = Moment(required=False, help_text="ISO 8601 with offset; the newest of the last hour when left out.")
    rows = serializers.IntegerField(
        default=40,
        min_value=2,
        max_value=100,
        help_text="Rows of square cells from south to north.",
        error_messages={
            "max_value": "100 rows are the most.",
            "min_value": "2 rows are the least.",
            "invalid": "This is not a whole number.",
        },
    )
    units = units()


class ScoresShape(serializers.Serializer):
    """How well each station is told from the others when it is left out."""

    bias = serializers.FloatField()
    mean_absolute_error = serializers.FloatField()
    root_mean_square_error = serializers.FloatField()
    coverage = serializers.FloatField(help_text="Share of them inside the 90 % interval.")
    half_coverage = serializers.FloatField(help_text="Share of them inside the 50 % interval.")
    crps = serializers.FloatField(help_text="Mean continuous ranked probability score.")
    inverse_distance_root_mean_square_error = serializers.FloatField(
        help_text="The same by inverse distance weighting."
    )
    village_mean_root_mean_square_error = serializers.FloatField(
        help_text="The same by the mean of the others."
    )


class GridShape(serializers.Serializer):
    """Rows from south to north, each from west to east. Edges are WGS 84, one more than there are cells."""

    latitude_edges = serializers.ListField(child=serializers.FloatField())
    longitude_edges = serializers.ListField(child=serializers.FloatField())
    estimate = CELLS
    eastward = CELLS
    northward = CELLS
    chance = CELLS
    standard_error = CELLS


class MapShape(serializers.Serializer):
    village = serializers.SlugField()
    variable = serializers.CharField()
    about = VariableShape()
    at = serializers.DateTimeField(help_text="End of the ten minutes; of rain, end of the hour.")
    used = UsedShape(many=True)
    left_out = LeftOutShape(many=True)
    method = serializers.CharField(
        help_text="The plainest that served best: kriging, inverse distance, village mean."
    )
    scores = ScoresShape()
    grid = GridShape()


class Maps(Resource):
    @described("village_map", "A map of a village", MapQuestion, MapShape)
    def get(self, request: Request, slug: str) -> Response:
        """The map of one variable at one time, with the stations it stands on and those left out, and why.

        Wind comes as eastward and northward parts, rain with the chance that any fell.
        """
        village, asked = self.village(slug), self.asked(MapQuestion)
        variable, unit = asked["variable"], asked["units"][asked["variable"]]
        kept = drawn(village, variable, asked.get("at"))
        names = dict(Station.objects.open_to(request.user).of(village).values_list("pk", "name"))
        grid = village_grid(village, asked["rows"])
        answer = {
            "village": village.slug,
            "variable": variable,
            "about": told.variables([variable], asked["units"])[variable],
            "at": told.moment(kept.at, village.clock),
            **stands_on(kept, names, unit),
            "method": kept.method,
            "scores": _scores(kept, unit),
            "grid": _edges(grid, village) | _cells(estimate(village, [kept], grid), grid, variable, unit),
        }
        return self.answer(answer, kept.at)


def stands_on(kept: VillageMap, names: dict[int, str], unit: str) -> dict[str, Any]:
    """The stations a map uses and leaves out, as far as the reader may know of them."""
    used = [(station, float(np.hypot(*said)) if len(said) > 1 else said[0]) for station, *said in kept.used]
    values = told.values([value for _, value in used], kept.variable, unit)
    return {
        "used": [
            {"station": station, "name": names[station], "value": value}
            for (station, _), value in zip(used, values, strict=True)
            if station in names
        ],
        "left_out": [
            {"station": station, "name": names[station], "why": why}
            for station, why in kept.left_out
            if station in names
        ],
    }


def _scores(kept: VillageMap, unit: str) -> dict[str, float | None]:
    errors = (kept.bias, kept.mae, kept.rmse, kept.crps, kept.plain_rmse, kept.mean_rmse)
    bias, mae, rmse, crps, plain, by_mean = told.differences(errors, kept.variable, unit)
    return {
        "bias": bias,
        "mean_absolute_error": mae,
        "root_mean_square_error": rmse,
        "coverage": round(kept.coverage, 4),
        "half_coverage": round(kept.half_coverage, 4),
        "crps": crps,
        "inverse_distance_root_mean_square_error": plain,
        "village_mean_root_mean_square_error": by_mean,
    }


def _edges(grid: Grid, village: Village) -> dict[str, list[float]]:
    """Of the cells' rows and columns, along the middle of the map, where the Earth bends them least."""
    east, north = (
        np.linspace(grid.west, grid.east, grid.columns + 1),
        np.linspace(grid.south, grid.north, grid.rows + 1),
    )
    _, longitude = from_local_plane(east, np.zeros_like(east), village.centre)
    latitude, _ = from_local_plane(np.zeros_like(north), north, village.centre)
    return {
        "latitude_edges": latitude.round(6).tolist(),
        "longitude_edges": longitude.round(6).tolist(),
    }


def _cells(made: Map | WindMap, grid: Grid, variable: str, unit: str) -> dict[str, Any]:
    def rows(numbers: told.Numbers) -> list[told.Numbers]:
        return [numbers[i : i + grid.columns] for i in range(0, len(numbers), grid.columns)]

    cells = {"standard_error": rows(told.differences(made.error, variable, unit))}
    if isinstance(made, WindMap):
        cells["eastward"] = rows(told.differences(made.eastward, variable, unit))
        cells["northward"] = rows(told.differences(made.northward, variable, unit))
    else:
        cells["estimate"] = rows(told.values(made.estimate, variable, unit))
        if made.chance is not None:
            cells["chance"] = rows(made.chance.round(3).ravel().tolist())
    return cells
