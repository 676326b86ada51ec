"""GET /api/villages."""

from django.db.models import Count, Q
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.science.variables import MAPPED
from network.web.api.asked import Question
from network.web.api.resource import Resource
from network.web.api.shapes import described
from stations.models import Village


class BoxShape(serializers.Serializer):
    """Edges of the village's map, degrees WGS 84."""

    south = serializers.FloatField()
    west = serializers.FloatField()
    north = serializers.FloatField()
    east = serializers.FloatField()


class VillageShape(serializers.Serializer):
    slug = serializers.SlugField()
    name = serializers.CharField()
    zone = serializers.CharField(help_text="IANA time zone.")
    stations = serializers.IntegerField()
    maps = serializers.ListField(child=serializers.CharField(), help_text="Variables that have maps.")
    box = BoxShape()
    weather_service = serializers.CharField(help_text="Its warnings take precedence over everything here.")
    weather_service_link = serializers.URLField()


class VillagesShape(serializers.Serializer):
    villages = VillageShape(many=True)


class Villages(Resource):
    @described("villages", "The villages", Question, VillagesShape)
    def get(self, request: Request) -> Response:
        """Every village, with the edges of its map and how many stations tell of it."""
        self.asked(Question)
        public = Count("households__stations", filter=Q(households__stations__counts_from__isnull=False))
        villages = Village.objects.annotate(stations=public).order_by("name")
        return self.answer({"villages": [_village(village) for village in villages]})


def _village(village: Village) -> dict[str, object]:
    return {
        "slug": village.slug,
        "name": village.name,
        "zone": village.zone,
        "stations": village.stations,  # type: ignore[attr-defined]
        "maps": list(MAPPED),
        "box": {edge: getattr(village, edge) for edge in ("south", "west", "north", "east")},
        "weather_service": village.weather_service,
        "weather_service_link": village.weather_service_link,
    }
