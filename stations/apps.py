"""The stations app: who measures what, and where."""

from django.apps import AppConfig


class StationsConfig(AppConfig):
    name = "stations"
    verbose_name = "Who measures what, and where"
