"""The files' addresses."""

from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from network.web.files.asked import Asked, asked_for
from network.web.files.origin import Origin, origin
from network.web.reader import nobody


@require_safe
def parquet(request: HttpRequest, village: str, station: int) -> FileResponse:
    """Readings and verdicts as Parquet."""
    from network.web.files.parquet import parquet as made  # its library takes half a second to load

    question = asked_for(request, village, station)
    return _file(question, made(question, _told(question)), "parquet", "application/vnd.apache.parquet")


@require_safe
def netcdf(request: HttpRequest, village: str, station: int) -> FileResponse:
    """Readings and verdicts as CF-netCDF."""
    from network.web.files.netcdf import netcdf as made

    question = asked_for(request, village, station)
    return _file(question, made(question, _told(question)), "nc", "application/x-netcdf")


def _told(question: Asked) -> Origin:
    """Files go from hand to hand: they speak no one reader's units."""
    with nobody():
        return origin(question)


def _file(question: Asked, file: object, ending: str, kind: str) -> FileResponse:
    return FileResponse(file, as_attachment=True, filename=f"{question.name}.{ending}", content_type=kind)


@require_safe
def sheet(request: HttpRequest, village: str, station: int) -> HttpResponse:
    """Where the readings came from, to read and to print."""
    question = asked_for(request, village, station)
    with timezone.override(question.station.village.clock):
        return render(request, "network/data_sheet.html", {"page": _page(question, origin(question))})


def _page(question: Asked, made: Origin) -> dict[str, object]:
    return {"village": question.station.village, "station": question.station, "origin": made}
