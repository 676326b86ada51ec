"""The network app: what the stations make together."""

from django.apps import AppConfig


class NetworkConfig(AppConfig):
    name = "network"
    verbose_name = "What the stations make together"

    def ready(self) -> None:
        from network import celery  # noqa: F401  the app must exist before tasks are sent
        from network.pipeline.metadata import changes as metadata
        from network.pipeline.records import extremes
        from stations import climate

        metadata.connect()
        climate.ask_of(extremes.record)
