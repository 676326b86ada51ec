"""Every address of the hub."""

from django.contrib import admin
from django.http import HttpRequest, HttpResponse
from django.urls import include, path

from network.web import front, intake


def healthz(request: HttpRequest) -> HttpResponse:
    """Whether the web process answers."""
    return HttpResponse("ok\n", content_type="text/plain")


urlpatterns = [
    path("healthz", healthz),
    path("api/reports", intake.reports, name="reports"),
    path("api/", include("network.web.api.urls")),
    path("admin/", admin.site.urls),
    path("", front.front, name="front"),
    path("<slug:village>/", front.village, name="village"),
]
