"""When metadata changes, the span it touches is marked in the same transaction."""

from datetime import datetime, timedelta
from typing import Any

from django.db.models.signals import post_delete, post_save, pre_save

from network.models import Report
from network.pipeline.ledger import work
from network.pipeline.metadata.spoken import CLOCK_OFF, spans
from network.pipeline.metadata.stretches import epoch
from stations.models import Calibration, Channel, Clock, Ground, Instrument, Placement, SitingNote, Station


def touch(station: Station, begins_at: datetime | None, ends_at: datetime | None = None) -> None:
    """Mark what the station's reports of a span come to: all of it where the beginning is not known."""
    village = station.household.village_id
    for first, last in spans(Report.objects.filter(station=station)):
        begin, end = max(first, epoch(begins_at, 0)), min(last - 1, epoch(ends_at))
        if begin <= end:
            work.mark_reports(village, begin, end)
            work.mark_observations(village, begin, end)


def _period_changes(instance: Any, **_: object) -> None:
    """Remember from when a period held before it is saved: one that begins later leaves readings behind."""
    before = type(instance).objects.filter(pk=instance.pk).values_list("begins_at", flat=True).first()
    instance.held_from = min(filter(None, (before, instance.begins_at)))


def _period_changed(instance: Any, **_: object) -> None:
    touch(instance.station, getattr(instance, "held_from", instance.begins_at))


def _clock_changed(instance: Clock, **_: object) -> None:
    """A setting holds by what the clock says, so the true times it moves may lie before its beginning."""
    begins_at = getattr(instance, "held_from", instance.begins_at)
    touch(instance.station, begins_at - timedelta(seconds=CLOCK_OFF))


def _calibration_changed(instance: Calibration, **_: object) -> None:
    touch(instance.channel.station, instance.begins_at)


def _siting_changed(instance: SitingNote, **_: object) -> None:
    touch(instance.placement.station, instance.placement.begins_at, instance.placement.ends_at)


def _station_changed(instance: Station, **_: object) -> None:
    touch(instance, None)


def _ground_changed(instance: Ground, **_: object) -> None:
    """A field may follow what its ground is: with that changes what the village teaches of it."""
    if instance.kept_at is not None and instance.kind in Ground.RASTERS:
        for first, last in spans(Report.objects.filter(station__household__village=instance.village_id)):
            work.mark_learning(instance.village_id, first, last)
            work.mark_maps(instance.village_id, first, last)


def connect() -> None:
    """Listen to everything that says how readings are to be understood."""
    listeners = {
        **dict.fromkeys((Placement, Instrument, Channel), _period_changed),
        Clock: _clock_changed,
        Calibration: _calibration_changed,
        SitingNote: _siting_changed,
        Station: _station_changed,
        Ground: _ground_changed,
    }
    for model in (Placement, Instrument, Channel, Clock):
        pre_save.connect(_period_changes, sender=model, dispatch_uid=f"network.metadata.{model.__name__}")
    for model, listener in listeners.items():
        for signal in (post_save, post_delete):
            signal.connect(listener, sender=model, dispatch_uid=f"network.metadata.{model.__name__}")
