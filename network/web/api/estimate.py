"""GET /api/estimate: what is it at my gate?"""

from typing import Any

import numpy as np
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.models import VillageMap
from network.pipeline.ledger import blocks
from network.pipeline.maps.map import estimate
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

SHARE, HALF = 0.9, 0.5
MOST_HOURS = 48


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
    hours = serializers.IntegerField(
        default=24,
        min_value=0,
        max_value=MOST_HOURS,
        help_text="How many hours up to then the series tells.",
        error_messages={
            "max_value": f"{MOST_HOURS} hours are the most: ask again with an earlier 'at'.",
            "min_value": "0 tells the moment alone.",
            "invalid": "This is not a whole number.",
        },
    )
    units = units()


class IntervalShape(serializers.Serializer):
    share = serializers.FloatField(help_text="How many of such intervals hold the truth.")
    low = serializers.FloatField()
    high = serializers.FloatField()


class AtOneTimeShape(serializers.Serializer):
    at = serializers.DateTimeField(help_text="End of the ten minutes; of rain, end of the hour.")
    value = serializers.FloatField()
    standard_error = serializers.FloatField()
    interval = IntervalShape(help_text="Nine of ten.")
    half_interval = IntervalShape(help_text="One of two.")
    from_direction = serializers.FloatField(required=False, allow_null=True, help_text="Of wind [deg].")
    chance = serializers.FloatField(required=False, help_text="Of rain: that any fell.")


class EstimateShape(AtOneTimeShape):
    village = serializers.SlugField()
    variable = serializers.CharField()
    about = VariableShape()
    unit = serializers.CharField()
    method = serializers.CharField(
        help_text="The plainest that served best: kriging, inverse distance, village mean."
    )
    used = UsedShape(many=True)
    left_out = LeftOutShape(many=True)
    series = AtOneTimeShape(many=True, help_text="Each ten minutes of the hours up to 'at', that included.")


class Estimate(Resource):
    @described("estimate", "What is it at my gate?", EstimateQuestion, EstimateShape)
    def get(self, request: Request) -> Response:
        """One variable at one place inside a village, with its standard error, 50 % and 90 % interval; and the same
        of each ten minutes of the last hours.

        Outside every village, and with fewer than three trusted stations, there is no estimate. It is no
        forecast and no warning: in danger listen to the national weather service.
        """
        asked = self.asked(EstimateQuestion)
        village = _village(asked["lat"], asked["lon"])
        variable, unit = asked["variable"], asked["units"][asked["variable"]]
        kept = drawn(village, variable, asked.get("at"))
        times, made = _run(village, kept, asked["hours"], _gate(village, asked))
        said = _figures(made, variable, unit)
        names = dict(Station.objects.open_to(request.user).of(village).values_list("pk", "name"))
        return self.answer(
            {
                "village": village.slug,
                "variable": variable,
                "about": told.variables([variable], asked["units"])[variable],
                "at": told.moment(kept.at, village.clock),
                **said[-1],
                "unit": unit,
                "method": kept.method,
                **stands_on(kept, names, unit),
                "series": [
                    {"at": told.moment(at, village.clock), **one}
                    for at, one in zip(times, said, strict=True)
                    if one["value"] is not None
                ],
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


def _run(
    village: Village, newest: VillageMap, hours: int, gate: Grid | Sites
) -> tuple[list[int], Map | WindMap]:
    """The maps of the hours up to the newest at the gate, and when they are of. Raises TooFew for the newest."""
    since = newest.at - hours * blocks.HOUR
    earlier = VillageMap.objects.filter(
        village=village, variable=newest.variable, at__gt=since, at__lt=newest.at
    ).order_by("at")
    maps = [*earlier, newest]
    made = estimate(village, maps, gate)
    if np.isnan(made.error[0, -1]):
        made = estimate(village, [newest], gate)  # says what is missing
    return [one.at for one in maps], made


def _figures(made: Map | WindMap, variable: str, unit: str) -> list[dict[str, Any]]:
    """What each time of the maps says of the one place they are of."""
    bounds = {share: made.interval(share) for share in (SHARE, HALF)}
    (low, high), (half_low, half_high) = (
        (told.values(low, variable, unit), told.values(high, variable, unit)) for low, high in bounds.values()
    )
    if isinstance(made, WindMap):
        speed, direction = speed_and_direction(made.eastward[0], made.northward[0])
        value = told.values(speed, variable, unit)
        more = [{"from_direction": None if np.isnan(one) else round(float(one), 1)} for one in direction]
    elif made.chance is not None:
        value = told.values(made.estimate[0], variable, unit)
        more = [{"chance": None if np.isnan(one) else round(float(one), 3)} for one in made.chance[0]]
    else:
        value, more = told.values(made.estimate[0], variable, unit), [{}] * made.error.shape[1]
    return [
        {
            "value": value[t],
            "standard_error": error,
            "interval": {"share": SHARE, "low": low[t], "high": high[t]},
            "half_interval": {"share": HALF, "low": half_low[t], "high": half_high[t]},
            **more[t],
        }
        for t, error in enumerate(told.differences(made.error, variable, unit))
    ]
