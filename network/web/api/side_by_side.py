"""GET /api/villages/<slug>/side-by-side: how stations differ, by what, and what can be said of it."""

import time
from typing import Any

import numpy as np
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.pipeline.ledger import blocks
from network.pipeline.records.side_by_side import Pair, SideBySide, side_by_side
from network.science.paired import Spread
from network.web.api import told
from network.web.api.asked import Moment, Question, units
from network.web.api.resource import Resource
from network.web.api.shapes import VariableShape, described
from network.web.compare.asked import LONGEST, MOST, OFFERED, USUAL
from network.web.compare.columns import SECTORS
from network.web.compare.words import sentences
from network.web.refusals import Refused
from stations.models import Station, Village

FEWEST = 2


class SideBySideQuestion(Question):
    stations = serializers.RegexField(
        r"^\d{1,9}(,\d{1,9})*$",
        help_text=f"Numbers with commas between, {FEWEST} to {MOST}; the others are compared with the first.",
        error_messages={
            "required": "Say which stations, as 3,5.",
            "invalid": "These are not numbers with commas between: write 3,5.",
        },
    )
    variable = serializers.ChoiceField(
        OFFERED,
        default="air_temperature",
        error_messages={
            "invalid_choice": f"'{{input}}' cannot be compared: use one of {', '.join(OFFERED)}."
        },
    )
    to = Moment(required=False, help_text="Until when, ISO 8601 with offset; now when left out.")
    readings = serializers.ChoiceField(
        ["good", "all"],
        default="good",
        help_text="Good readings only, or those of any verdict.",
        error_messages={"invalid_choice": "'{input}' is neither good nor all."},
    )
    units = units()

    def get_fields(self) -> dict[str, serializers.Field]:
        since = Moment(
            required=False,
            help_text=f"From when, ISO 8601 with offset; {USUAL} days before 'to' when left out.",
        )
        return {"from": since, **super().get_fields()}

    def validate(self, asked: dict[str, Any]) -> dict[str, Any]:
        asked.setdefault("to", int(time.time()))
        asked.setdefault("from", asked["to"] - USUAL * blocks.DAY)
        if not 0 < asked["to"] - asked["from"] <= LONGEST * blocks.DAY:
            raise serializers.ValidationError({"from": f"It lies before 'to', by {LONGEST} days at most."})
        return asked


class GroupShape(serializers.Serializer):
    """Of the differences in a group of hours."""

    group = serializers.CharField(help_text="An hour of the village's day, or where the wind came from.")
    lower_quartile = serializers.FloatField()
    median = serializers.FloatField()
    upper_quartile = serializers.FloatField()
    hours = serializers.IntegerField()


class LineShape(serializers.Serializer):
    """With errors in both, in canonical units: York et al. (2004), errors grown to scatter and memory."""

    slope = serializers.FloatField()
    slope_error = serializers.FloatField()
    intercept = serializers.FloatField()
    intercept_error = serializers.FloatField()


class SaidShape(serializers.Serializer):
    words = serializers.CharField()
    carried = serializers.BooleanField(
        help_text="Whether the evidence carries something; else what is missing."
    )


class PairShape(serializers.Serializer):
    """Differences are the station's value less that of the first."""

    station = serializers.IntegerField()
    against = serializers.IntegerField()
    hours = serializers.IntegerField()
    mean_difference = serializers.FloatField(allow_null=True)
    standard_error = serializers.FloatField(allow_null=True, help_text="The memory of the series counted.")
    line = LineShape(allow_null=True)
    by_hour = GroupShape(many=True)
    by_wind = GroupShape(many=True)
    said = SaidShape(many=True)


class SideBySideShape(serializers.Serializer):
    village = serializers.SlugField()
    variable = serializers.CharField()
    about = VariableShape()
    pairs = PairShape(many=True)


class SideBySides(Resource):
    @described("side_by_side", "Stations side by side", SideBySideQuestion, SideBySideShape)
    def get(self, request: Request, slug: str) -> Response:
        """Hour by hour; summaries of hours tell the series themselves."""
        village, asked = self.village(slug), self.asked(SideBySideQuestion)
        stations = self._stations(village, asked["stations"])
        name, span = asked["variable"], (asked["from"], asked["to"])
        compared = side_by_side(village, stations, name, span, asked["readings"] == "good")
        return self.answer(
            {
                "village": village.slug,
                "variable": name,
                "about": told.variables([name], asked["units"])[name],
                "pairs": [_pair(compared, pair, asked["units"][name]) for pair in compared.pairs],
            },
            asked["to"],
        )

    def _stations(self, village: Village, numbers: str) -> list[Station]:
        stations = [self.station(int(one)) for one in dict.fromkeys(numbers.split(","))]
        if any(one.village.pk != village.pk for one in stations):
            raise Refused(
                404, "Not all of these stations are of this village.", "Compare those of one village."
            )
        if not FEWEST <= len(stations) <= MOST:
            raise Refused(400, f"{FEWEST} to {MOST} different stations are compared.", "Write stations=3,5.")
        return stations


def _pair(compared: SideBySide, pair: Pair, unit: str) -> dict[str, Any]:
    name = compared.variable
    mean, error = told.differences(np.array([pair.mean, pair.error]), name, unit)
    return {
        "station": pair.station.pk,
        "against": pair.base.pk,
        "hours": pair.hours,
        "mean_difference": mean,
        "standard_error": error,
        "line": _line(pair),
        "by_hour": _groups(pair.by_hour, [f"{hour:02}" for hour in range(24)], name, unit),
        "by_wind": _groups(pair.by_sector, SECTORS, name, unit),
        "said": [{"words": one.words, "carried": one.told} for one in sentences(compared, pair)],
    }


def _line(pair: Pair) -> dict[str, float] | None:
    found = pair.line
    if found is None or np.isnan(found.slope):
        return None
    return {shape: float(f"{getattr(found, shape):.7g}") for shape in LineShape().fields}


def _groups(spread: Spread, names: Any, variable: str, unit: str) -> list[dict[str, Any]]:
    lower, median, upper = (
        told.differences(one, variable, unit) for one in (spread.lower, spread.median, spread.upper)
    )
    return [
        {
            "group": group,
            "lower_quartile": lower[i],
            "median": median[i],
            "upper_quartile": upper[i],
            "hours": int(spread.size[i]),
        }
        for i, group in enumerate(names)
        if spread.size[i]
    ]
