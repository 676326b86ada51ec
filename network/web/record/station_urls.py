"""Addresses of a station's record: a year, a month, a day."""

from django.urls import path

from network.web.record import of_station

urlpatterns = [
    path("", of_station.newest, name="station-records"),
    path("<int:year>/", of_station.station, name="station-record"),
    path("<int:year>/<int:month>/", of_station.station, name="station-record"),
    path("<int:year>/<int:month>/<int:day>/", of_station.station, name="station-record"),
]
