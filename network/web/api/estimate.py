"""GET /api/estimate: what is it at my gate?"""

from typing import Any

import numpy as np
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from scipy.special import ndtri

from network.pipeline.maps.map import estimate
from network.science.variables import VARIABLES
from network.science.wind import speed_and_direction
from network.spatial.distance import local_plane
from network.spatial.sites import Grid, Sites
from network.spatial.village import Map, WindMap
from network.web.api import told
from network.web.api.asked import Moment, Question, mapped, units
from network.web.api.drawn import drawn
from network.web.api.maps import stands_on
from network.web.api.resource import Resource
from network.web.api.shapes import LeftOutShape, UsedShape, VariableShape, described
from network.web.refusals import Refused
from stations.models import Station, Village

SHARE = 0.9


class Degrees(serializers.FloatField):
    """A latitude or longitude [degrees]."""

    def __init__(self, most: int, towards: str) -> None:
        wrong = f"Write it in degrees from −{most} to {most}, such as 47.312."
        messages = dict.fromkeys(
            ("required", "invalid", "min_value", "max_value", "max_string_length"), wrong
        )
        super().__init__(
            min_value=-most, max_value=most, help_text=f"Degrees {towards}, WGS 84.", error_messages=messages
        )

    def to_internal_value(self, data: Any) -> float:
        value = super().to_internal_value(data)
        if value != value:
            self.fail("invalid")
        return value


class EstimateQuestion(Question):
    lat = Degrees(90, "north")
    lon = Degrees(180, "east")
    variable = mapped()
    at = Moment(required=False, help_text="ISO 8601 with offset; the newest of the last hour when left out.")
    elevation = serializers.FloatField(
        required=False,
        min_value=-450,
        max_value=9000,
        help_text="Metres above mean sea level; when left out, that of the village's terrain, or else of a "
        "smooth surface through the stations.",
    )
    units = units()


class IntervalShape(serializers.Serializer):
    share = serializers.FloatField(help_text="How many of such intervals hold the truth.")
    low = serializers.FloatField()
    high = serializers.FloatField()


class EstimateShape(serializers.Serializer):
    village = serializers.SlugField()
    variable = serializers.CharField()
    about = VariableShape()
    at = serializers.DateTimeField(help_text="End of the ten minutes; of rain, end of the hour.")
    value = serializers.FloatField()
    standard_error = serializers.FloatField()
    interval = IntervalShape()
    unit = serializers.CharField()
    from_direction = serializers.FloatField(required=False, allow_null=True, help_text="Of wind [deg].")
    chance = serializers.FloatField(required=False, help_text="Of rain: that any fell.")
    used = UsedShape(many=True)
    left_out = LeftOutShape(many=True)


class Estimate(Resource):
    @described("estimate", "What is it at my gate?", EstimateQuestion, EstimateShape)
    def get(self, request: Request) -> Response:
        """One variable at one place inside a village, with its standard error and 90 % interval.

        Outside every village, and with fewer than three trusted stations, there is no estimate. It is no
        forecast and no warning: in danger listen to the national weather service.
        """
        asked = self.asked(EstimateQuestion)
        village = _village(asked["lat"], asked["lon"])
        variable, unit = asked["variable"], asked["units"][asked["variable"]]
        kept = drawn(village, variable, asked.get("at"))
        made = estimate(village, [kept], _gate(village, asked))
        names = dict(Station.objects.open_to(request.user).of(village).values_list("pk", "name"))
        figures = _wind(made, unit) if isinstance(made, WindMap) else _figures(made, variable, unit)
        return self.answer(
            {
                "village": village.slug,
                "variable": variable,
                "about": told.variables([variable], asked["units"])[variable],
                "at": told.moment(kept.at, village.clock),
                **figures,
                "unit": unit,
                **stands_on(kept, names, unit),
            },
            kept.at,
        )


def _village(latitude: float, longitude: float) -> Village:
    """The village whose map holds the place; of two, the smaller."""
    around = Village.objects.filter(
        south__lte=latitude, north__gte=latitude, west__lte=longitude, east__gte=longitude
    )
    found = min(around, key=lambda v: (v.north - v.south) * (v.east - v.west), default=None)
    if found is None:
        raise Refused(
            404,
            f"Latitude {latitude:g}, longitude {longitude:g} lies outside every village's map.",
            "The edges of the maps are listed at /api/villages. Are the two swapped?",
        )
    return found


def _gate(village: Village, asked: dict[str, Any]) -> Grid | Sites:
    """The place; as a single cell of a map where its elevation must be told from the stations."""
    east, north = (float(part) for part in local_plane(asked["lat"], asked["lon"], village.centre))
    if "elevation" in asked:
        return Sites.at(east, north, asked["elevation"])
    return Grid(east - 0.5, north - 0.5, east + 0.5, north + 0.5, rows=1, columns=1)


def _figures(made: Map, variable: str, unit: str) -> dict[str, Any]:
    low, high = made.interval(SHARE)
    value, low, high = told.values([made.estimate[0, 0], low[0, 0], high[0, 0]], variable, unit)
    (error,) = told.differences(made.error[0, 0], variable, unit)
    figures = {
        "value": value,
        "standard_error": error,
        "interval": {"share": SHARE, "low": low, "high": high},
    }
    return figures if made.chance is None else figures | {"chance": round(float(made.chance[0, 0]), 3)}


def _wind(made: WindMap, unit: str) -> dict[str, Any]:
    """Speed and direction of the estimated vector; the error is that of either of its parts."""
    speed, direction = (float(part[0, 0]) for part in speed_and_direction(made.eastward, made.northward))
    error = float(made.error[0, 0])
    reach = error * float(ndtri((1 + SHARE) / 2))
    ends = (speed, max(speed - reach, VARIABLES["wind_speed"].limits.low), speed + reach)
    value, low, high = told.values(ends, "wind_speed", unit)
    (shown_error,) = told.differences(error, "wind_speed", unit)
    return {
        "value": value,
        "standard_error": shown_error,
        "interval": {"share": SHARE, "low": low, "high": high},
        "from_direction": None if np.isnan(direction) else round(direction, 1),
    }
