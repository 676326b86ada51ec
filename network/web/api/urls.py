"""Addresses of the API."""

from django.urls import path, re_path
from drf_spectacular.renderers import OpenApiJsonRenderer2, OpenApiYamlRenderer2
from drf_spectacular.views import SpectacularAPIView

from network.web.api.comparisons import Comparisons
from network.web.api.contents import contents, nothing_here
from network.web.api.estimate import Estimate
from network.web.api.evidence import StationEvidence
from network.web.api.map_scores import MonthOfMaps
from network.web.api.maps import Maps
from network.web.api.observations import Observations
from network.web.api.side_by_side import SideBySides
from network.web.api.station import StationHistory
from network.web.api.stations import Stations
from network.web.api.summaries import Summaries
from network.web.api.villages import Villages

schema = SpectacularAPIView.as_view(renderer_classes=[OpenApiJsonRenderer2, OpenApiYamlRenderer2])

urlpatterns = [
    path("", contents, name="api"),
    path("schema", schema, name="api-schema"),
    path("villages", Villages.as_view()),
    path("villages/<slug:slug>/maps", Maps.as_view()),
    path("villages/<slug:slug>/maps/scores", MonthOfMaps.as_view()),
    path("villages/<slug:slug>/side-by-side", SideBySides.as_view()),
    path("stations", Stations.as_view()),
    path("stations/<int:pk>", StationHistory.as_view()),
    path("stations/<int:pk>/observations", Observations.as_view()),
    path("stations/<int:pk>/evidence", StationEvidence.as_view()),
    path("stations/<int:pk>/comparisons", Comparisons.as_view()),
    path("stations/<int:pk>/summaries", Summaries.as_view()),
    path("estimate", Estimate.as_view()),
    re_path(r"^(?P<rest>.+)$", nothing_here),
]
