"""Addresses of the village's record: a year, a month, a day."""

from django.urls import path

from network.web.record import of_village

urlpatterns = [
    path("", of_village.newest, name="village-records"),
    path("<int:year>/", of_village.village, name="village-record"),
    path("<int:year>/<int:month>/", of_village.village, name="village-record"),
    path("<int:year>/<int:month>/<int:day>/", of_village.village, name="village-record"),
]
