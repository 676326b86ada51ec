"""Addresses of a station's files; CSV, which is streamed, has its own."""

from django.urls import path

from network.web.files import views

urlpatterns = [
    path("download.parquet", views.parquet, name="station-parquet"),
    path("download.nc", views.netcdf, name="station-netcdf"),
    path("sheet/", views.sheet, name="station-sheet"),
]
