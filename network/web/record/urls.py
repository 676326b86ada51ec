"""Addresses of the village's record: a year, a month, a day, and the table to learn from."""

from django.urls import path

from network.web.record import of_village
from network.web.training import views as training

urlpatterns = [
    path("", of_village.newest, name="village-records"),
    path("training/", training.sheet, name="village-training"),
    path("training.csv", training.csv, name="village-training-csv"),
    path("training.parquet", training.parquet, name="village-training-parquet"),
    path("<int:year>/", of_village.village, name="village-record"),
    path("<int:year>/<int:month>/", of_village.village, name="village-record"),
    path("<int:year>/<int:month>/<int:day>/", of_village.village, name="village-record"),
]
