"""Addresses of comparisons, beneath a village's own."""

from django.urls import path

from network.web.compare import page

urlpatterns = [
    path("", page.compare, name="compare"),
    path("download.csv", page.download, name="compare-download"),
]
