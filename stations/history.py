"""Changing a station's metadata without touching its past.

While a station has never counted in its village nobody relies on what was noted, and it is put right in
place. Afterwards every change opens a new period from a moment on, and the old one ends there.
"""

from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from stations.calibrating import must_be_calibrated
from stations.life import counted
from stations.models import Calibration, Channel, Clock, Instrument, Placement, Station
from stations.models.period import Period


def beginning(station: Station) -> datetime:
    """From when a draft's metadata holds: since it has stood where it stands, else since it was made."""
    placement = station.placements.current().first()
    return placement.begins_at if placement else station.made_at


@transaction.atomic
def place(station: Station, since: datetime, **fields: float) -> Placement:
    """Say where a station stands, or that it moved."""
    old = station.placements.current().first()
    if (
        old
        and _same(old, fields)
        and (old.begins_at <= since if counted(station) else old.begins_at == since)
    ):
        return old
    if old and not counted(station):
        _begin_all(station, old.begins_at, since)
        old.begins_at = since
        return _saved(old, **fields)
    if old and _same(old, fields) and since < old.begins_at and station.placements.count() == 1:
        return _stood_before(station, old, since)
    if old:
        _end(old, since)
    else:
        _begin_all(station, station.made_at, since)
    return _saved(Placement(station=station, begins_at=since), **fields)


@transaction.atomic
def fit(station: Station, instrument: dict[str, Any], channel: dict[str, str], since: datetime) -> Channel:
    """Add an instrument, and the channel that speaks for it."""
    made = _saved(Instrument(station=station, begins_at=since), **instrument)
    return _saved(Channel(station=station, instrument=made, begins_at=since), **channel)


@transaction.atomic
def refit(old: Channel, instrument: dict[str, Any], channel: dict[str, str], since: datetime) -> Channel:
    """Describe an instrument and its channel anew. A calibration stays with the sensor it was made for."""
    swapped, renamed = not _same(old.instrument, instrument), not _same(old, channel)
    if not counted(old.station):
        _saved(old.instrument, **instrument)
        return _saved(old, **channel)
    if not swapped and not renamed:
        return old
    _end(old, since)
    if swapped:
        _end(old.instrument, since)
        return fit(old.station, {"variable": old.instrument.variable} | instrument, channel, since)
    new = _saved(Channel(station=old.station, instrument=old.instrument, begins_at=since), **channel)
    before = old.calibrations.order_by("-begins_at").first()
    if before and old.unit == new.unit:
        calibrate(new, since, before.kind, before.parameters, before.reason, before.made_by)
    return new


@transaction.atomic
def adopt(channel: Channel, name: str, *, was_heard: bool) -> Channel:
    """Let a channel answer to the name its device really sends.

    One that never spoke, of a draft, is renamed. Any other keeps its old name too, and goes by the new one from
    its own beginning: nothing was understood under it, so nothing is altered.
    """
    if not (was_heard or counted(channel.station)):
        return _saved(channel, name=name)
    other = Channel(station=channel.station, instrument=channel.instrument, begins_at=channel.begins_at)
    _saved(other, name=name, unit=channel.unit)
    for made in channel.calibrations.all():
        calibrate(other, made.begins_at, made.kind, made.parameters, made.reason, made.made_by)
    return other


@transaction.atomic
def remove(channel: Channel, since: datetime) -> None:
    """Take an instrument away. What it said stays with the one it was."""
    if not counted(channel.station):
        channel.instrument.delete()
        return
    for one in (*channel.instrument.channels.current(), channel.instrument):
        _end(one, since)


@transaction.atomic
def calibrate(
    channel: Channel, since: datetime, kind: str, parameters: dict[str, Any], reason: str, by: Any
) -> Calibration:
    """Other arithmetic from a moment on; a draft's only calibration is put right in place."""
    last = channel.calibrations.order_by("-begins_at").first()
    if last and not counted(channel.station):
        return _saved(last, kind=kind, parameters=parameters, reason=reason, made_by=by)
    if last is None and (must_be_calibrated(channel) or not counted(channel.station)):
        since = channel.begins_at  # nothing it said before could be understood
    if last and since <= last.begins_at:
        raise ValidationError(_too_early(last.begins_at))
    return _saved(
        Calibration(channel=channel, begins_at=since),
        kind=kind,
        parameters=parameters,
        reason=reason,
        made_by=by,
    )


@transaction.atomic
def set_clock(station: Station, since: datetime, **fields: Any) -> Clock:
    """Say how the station's times are to be understood."""
    old = station.clocks.current().first()
    if old is None:
        return _saved(Clock(station=station, begins_at=beginning(station)), **fields)
    if _same(old, fields):
        return old
    if not counted(station):
        return _saved(old, **fields)
    _end(old, since)
    return _saved(Clock(station=station, begins_at=since, fast_by=old.fast_by), **fields)


def _stood_before(station: Station, old: Placement, since: datetime) -> Placement:
    """Let a station's first chapter begin earlier: nothing was noted of that time, so nothing is altered."""
    began = old.begins_at
    _begin_all(station, began, since)
    if station.counts_from == began:
        station.counts_from = since
        station.save()
    return _saved(old, begins_at=since)


def _begin_all(station: Station, before: datetime, since: datetime) -> None:
    """What a draft has held since ``before`` holds since ``since``."""
    for model in (Instrument, Channel, Clock):
        for row in model.objects.filter(station=station, begins_at=before, ends_at=None):
            _saved(row, begins_at=since)
    for row in Calibration.objects.filter(channel__station=station, begins_at=before):
        _saved(row, begins_at=since)


def _end(period: Period, since: datetime) -> None:
    if since <= period.begins_at:
        raise ValidationError(_too_early(period.begins_at))
    if since > timezone.now():
        raise ValidationError("That is still to come: say since when it has been so.")
    period.ends_at = since
    period.save()


def _too_early(begins_at: datetime) -> str:
    return (
        f"What holds now was noted from {begins_at:%d %B %Y} on: choose a later moment. "
        "If the record itself is mistaken, ask the village's steward to put it right."
    )


def _same(row: Any, fields: dict[str, Any]) -> bool:
    return all(getattr(row, name) == value for name, value in fields.items())


def _saved(row: Any, **fields: Any) -> Any:
    for name, value in fields.items():
        setattr(row, name, value)
    row.full_clean()
    row.save()
    return row
