"""GET /api/villages/<slug>/maps/scores: how good a month's maps were."""

import time
from datetime import datetime
from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.pipeline.maps.scores import MapScores, map_scores
from network.web.api import told
from network.web.api.asked import Question, units
from network.web.api.maps import ScoresShape
from network.web.api.resource import Resource
from network.web.api.shapes import VariableShape, described
from network.web.record.span import Span

MONTH = r"^\d{4}-(0[1-9]|1[0-2])$"


class ScoresQuestion(Question):
    month = serializers.RegexField(
        MONTH,
        required=False,
        help_text="Such as 2026-06, in the village's time; this month when left out.",
        error_messages={"invalid": "Write the month as year and month, such as 2026-06."},
    )
    units = units()


class MonthScoresShape(ScoresShape):
    about = VariableShape()
    maps = serializers.IntegerField(help_text="How many; of rain, those with rain anywhere.")
    methods = serializers.DictField(
        child=serializers.IntegerField(), help_text="How many of them were made by each method."
    )


class MapScoresShape(serializers.Serializer):
    village = serializers.SlugField()
    month = serializers.CharField()
    begins_at = serializers.DateTimeField()
    ends_at = serializers.DateTimeField()
    scores = serializers.DictField(child=MonthScoresShape(), help_text="By variable.")


class MonthOfMaps(Resource):
    @described("map_scores", "How good the maps of a month were", ScoresQuestion, MapScoresShape)
    def get(self, request: Request, slug: str) -> Response:
        """Each variable's maps of a calendar month, by leaving out one station at a time at every time.

        Beside them stand inverse distance and the village mean on the same readings.
        """
        village, asked = self.village(slug), self.asked(ScoresQuestion)
        now = time.time()
        month = asked.get("month") or f"{datetime.fromtimestamp(now, village.clock):%Y-%m}"
        span = Span.of(village.clock, now, *(int(part) for part in month.split("-")))
        found = map_scores(village, span.begins_at, span.ends_at)
        answer = {
            "village": village.slug,
            "month": month,
            "begins_at": told.moment(span.begins_at, village.clock),
            "ends_at": told.moment(span.ends_at, village.clock),
            "scores": {one.variable: _told(one, asked["units"]) for one in found},
        }
        return self.answer(answer, span.ends_at)


def _told(one: MapScores, units: dict[str, str]) -> dict[str, Any]:
    errors = (one.bias, one.mae, one.rmse, one.crps, one.plain_rmse, one.mean_rmse)
    bias, mae, rmse, crps, plain, by_mean = told.differences(errors, one.variable, units[one.variable])
    return {
        "about": told.variables([one.variable], units)[one.variable],
        "maps": one.maps,
        "methods": dict(one.methods),
        "bias": bias,
        "mean_absolute_error": mae,
        "root_mean_square_error": rmse,
        "coverage": round(one.coverage, 4),
        "half_coverage": round(one.half_coverage, 4),
        "crps": crps,
        "inverse_distance_root_mean_square_error": plain,
        "village_mean_root_mean_square_error": by_mean,
    }
