"""GET /api/stations: where they stand, as far as each household shows it, and what they measure."""

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.web.api.asked import Question
from network.web.api.resource import Resource
from network.web.api.shapes import PlaceShape, described
from stations.models import Placement, Station


class StationsQuestion(Question):
    village = serializers.SlugField(required=False, help_text="Short name; all villages when left out.")


class StationAbout(serializers.Serializer):
    name = serializers.CharField()
    village = serializers.SlugField()
    state = serializers.ChoiceField(Station.State.choices)
    shown = serializers.ChoiceField(Station.Shown.choices)
    elevation = serializers.FloatField(
        allow_null=True, help_text="Metres above mean sea level; null where the place is hidden."
    )
    report_every = serializers.IntegerField(help_text="Seconds.")
    measures = serializers.ListField(child=serializers.CharField())


class StationShape(serializers.Serializer):
    """A GeoJSON feature (RFC 7946); its geometry is null where the household hides the place."""

    type = serializers.ChoiceField(["Feature"])
    id = serializers.IntegerField()
    geometry = PlaceShape(allow_null=True)
    properties = StationAbout()


class StationsShape(serializers.Serializer):
    type = serializers.ChoiceField(["FeatureCollection"])
    features = StationShape(many=True)


class Stations(Resource):
    @described("stations", "The stations", StationsQuestion, StationsShape)
    def get(self, request: Request) -> Response:
        """Every station, as GeoJSON. A place is exact, rounded to about 200 m or absent, as its household says."""
        slug = self.asked(StationsQuestion).get("village")
        stations = Station.objects.open_to(request.user)
        if slug is not None:
            stations = stations.of(self.village(slug))
        stations = stations.select_related("household__village").prefetch_related("placements", "instruments")
        return self.answer(
            {"type": "FeatureCollection", "features": [feature(station) for station in stations]}
        )


def feature(station: Station) -> dict[str, Any]:
    """A station as a GeoJSON feature; best with its placements and instruments fetched."""
    placement = next((p for p in reversed(station.placements.all()) if p.ends_at is None), None)
    where = place(station, placement)
    return {
        "type": "Feature",
        "id": station.pk,
        "geometry": where["geometry"],
        "properties": {
            "name": station.name,
            "village": station.village.slug,
            "state": station.state,
            "shown": station.shown,
            "elevation": where["elevation"],
            "report_every": station.report_every,
            "measures": sorted({i.variable for i in station.instruments.all() if i.ends_at is None}),
        },
    }


def place(station: Station, placement: Placement | None) -> dict[str, Any]:
    """Geometry and elevation, as far as the household shows them."""
    shown = None
    if placement is not None:
        placement.station = station  # so that it need not be fetched to see what is shown
        shown = placement.public_place
    if placement is None or shown is None:
        return {"geometry": None, "elevation": None}
    latitude, longitude = shown
    return {
        "geometry": {"type": "Point", "coordinates": [longitude, latitude]},
        "elevation": placement.elevation
        if station.shown == Station.Shown.EXACT
        else float(round(placement.elevation / 5) * 5),  # on a slope the height alone tells the place
    }
