"""Addresses of the desk, beneath a village's own."""

from django.urls import path

from network.web.desk import cases, sheet, stations, trail

urlpatterns = [
    path("", cases.desk, name="desk"),
    path("settled/", cases.settled, name="desk-settled"),
    path("<int:case>/", sheet.case, name="case"),
    path("stations/<int:station>/", stations.station, name="desk-station"),
    path("trail/", trail.trail, name="trail"),
    path("trail/<int:decision>/undo/", trail.undo, name="undo"),
]
