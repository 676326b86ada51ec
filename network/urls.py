"""Every address of the hub."""

from django.contrib import admin
from django.http import HttpRequest, HttpResponse
from django.urls import include, path, re_path

from network.web import (
    adopting,
    answering,
    chart,
    checking,
    download,
    front,
    ground_shade,
    intake,
    keeping,
    notices,
    reading,
    sending,
    station,
    station_reports,
    waiting,
)
from network.web.bench import views as bench
from network.web.giving_up import give_up
from network.web.map_files.views import map_file, map_png
from network.web.maps import gate, page, scores


def healthz(request: HttpRequest) -> HttpResponse:
    """Whether the web process answers."""
    return HttpResponse("ok\n", content_type="text/plain")


urlpatterns = [
    path("healthz", healthz),
    path("api/reports", intake.reports, name="reports"),
    path("api/", include("network.web.api.urls")),
    path("admin/", admin.site.urls),
    path("", include("stations.urls")),
    path("my/stations/<int:pk>/waiting/", waiting.waiting, name="register-waiting"),
    path("my/stations/<int:pk>/waiting/state", waiting.state, name="register-waiting-state"),
    path("my/stations/<int:pk>/instruments/<int:channel>/adopt/", adopting.adopt, name="register-adopt"),
    path("my/stations/<int:pk>/instruments/<int:channel>/bench/", bench.bench, name="bench"),
    path(
        "my/stations/<int:pk>/instruments/<int:channel>/bench/<slug:helper>/",
        bench.helper,
        name="bench-helper",
    ),
    path("my/stations/<int:pk>/life/", keeping.go, name="station-life"),
    path("my/stations/<int:pk>/give-up/", give_up, name="station-give-up"),
    path("my/", include("network.web.account.urls")),
    path("my/answers/<int:pk>/", answering.answer, name="answer"),
    path("my/notices/", notices.notices, name="notices"),
    path("my/notices/read/", notices.read, name="notices-read"),
    path("", front.front, name="front"),
    path("reading/", reading.reading, name="reading"),
    path("sending/", sending.sending, name="sending"),
    path("sending/<slug:kind>", sending.program, name="sending-program"),
    path("checks/", checking.checking, name="checking"),
    path("<slug:village>/", front.village, name="village"),
    path("<slug:village>/map.svg", front.map_svg, name="village-map"),
    re_path(r"^(?P<village>[-\w]+)/map\.(?P<ending>geojson|nc|tif)$", map_file, name="map-file"),
    path("<slug:village>/map.png", map_png, name="map-png"),
    path("<slug:village>/ground/<int:layer>.png", ground_shade.ground_png, name="ground-shade"),
    path("<slug:village>/map/", page.map_page, name="village-map-page"),
    path("<slug:village>/map/run", page.map_run, name="village-map-run"),
    path("<slug:village>/map/scores/", scores.map_scores_page, name="village-map-scores"),
    path("<slug:village>/gate/", gate.gate_page, name="village-gate"),
    path("<slug:village>/explore/", front.explore, name="village-explore"),
    re_path(r"^(?P<village>[-\w]+)/explore/(?P<name>map|strip)\.json$", front.figure, name="village-figure"),
    path("<slug:village>/compare/", include("network.web.compare.urls")),
    path("<slug:village>/record/", include("network.web.record.urls")),
    path("<slug:village>/stations/<int:station>/record/", include("network.web.record.station_urls")),
    path("<slug:village>/desk/", include("network.web.desk.urls")),
    path("<slug:village>/stations/<int:station>/", station.station, name="station"),
    path("<slug:village>/stations/<int:station>/reports/", station_reports.reports, name="station-reports"),
    path("<slug:village>/stations/<int:station>/download.csv", download.download, name="station-download"),
    path("<slug:village>/stations/<int:station>/", include("network.web.files.urls")),
    path("<slug:village>/stations/<int:station>/chart/<slug:variable>/", chart.chart, name="station-chart"),
    path(
        "<slug:village>/stations/<int:station>/figures/<slug:variable>", station.figure, name="station-figure"
    ),
]
