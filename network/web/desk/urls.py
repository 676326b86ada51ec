"""Addresses of the desk, beneath a village's own."""

from django.urls import path

from network.web.desk import cases, ground, letter, reading, sheet, stations, trail

urlpatterns = [
    path("", cases.desk, name="desk"),
    path("settled/", cases.settled, name="desk-settled"),
    path("<int:case>/", sheet.case, name="case"),
    path("<int:case>/letter/", letter.letter, name="letter"),
    path("reading/", reading.reading, name="reading"),
    path("stations/<int:station>/maintenance/", stations.maintenance, name="maintenance"),
    path("stations/<int:station>/", stations.station, name="desk-station"),
    path("ground/", ground.ground, name="desk-ground"),
    path("ground/<int:layer>/", ground.settle, name="desk-ground-settle"),
    path("ground/<int:layer>/shade.png", ground.shade, name="desk-ground-shade"),
    path("trail/", trail.trail, name="trail"),
    path("trail/<int:decision>/undo/", trail.undo, name="undo"),
]
