"""A village from one readable file: households, stations, instruments, calibrations and siting notes.

``network/demo/village.toml`` is a complete example, with the units beside every figure.
"""

import tomllib
from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils.text import slugify

from network.science.units import UnknownUnit, WrongDimension, convert
from network.science.variables import VARIABLES
from stations.models import (
    Calibration,
    Channel,
    Clock,
    Household,
    Instrument,
    Placement,
    SitingNote,
    Station,
    Village,
)

Described = Mapping[str, Any]
Row = TypeVar("Row", bound=models.Model)


class WrongFile(ValueError):
    """The file cannot be taken; the sentence names the place in it and what to change."""


def load(path: Path) -> Village:
    """Create the village of a file, all of it or nothing. Raises WrongFile."""
    try:
        described = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise WrongFile(f"{path} cannot be read: {error}.") from error
    with transaction.atomic():
        village = _make("[village]", Village, described.get("village", {}), slug=_slug(described))
        for household in described.get("households", []):
            _household(village, household, described.get("instruments", {}))
    return village


def _slug(described: Described) -> str:
    return slugify(described.get("village", {}).get("name", ""))


def _household(village: Village, described: Described, kinds: Mapping[str, Described]) -> None:
    household = _make(
        f"household {described.get('name')!r}",
        Household,
        {"name": described.get("name", "")},
        village=village,
    )
    for station in described.get("stations", []):
        _station(household, station, kinds)


def _station(household: Household, described: Described, kinds: Mapping[str, Described]) -> None:
    where = f"station {described.get('name')!r}"
    since = _moment(where, described.get("since"))
    own = {key: described[key] for key in ("name", "state", "shown", "report_every") if key in described}
    counts = since if own.get("state") in ("live", "paused") else None
    station = _make(where, Station, own, household=household, counts_from=counts)
    place = {key: described.get(key) for key in ("latitude", "longitude", "elevation")}
    placement = _make(where, Placement, place, station=station, begins_at=since)
    if "clock" in described:
        _make(f"{where}, clock", Clock, described["clock"], station=station, begins_at=since)
    channels = {
        each["channel"]: _fit(where, station, each, kinds, since) for each in described.get("instruments", [])
    }
    for made in described.get("calibrations", []):
        _calibrate(where, channels, made, since)
    for note in described.get("siting", []):
        fields = {
            "variable": note.get("variable"),
            "siting_class": note.get("class"),
            "words": note.get("words", ""),
        }
        _make(f"{where}, siting", SitingNote, fields, placement=placement, written_at=since)


def _fit(
    where: str, station: Station, described: Described, kinds: Mapping[str, Described], since: datetime
) -> Channel:
    """One instrument of a station and the channel that speaks for it."""
    kind = kinds.get(described.get("kind", ""))
    if kind is None:
        raise WrongFile(f"{where}: there is no [instruments.{described.get('kind')}] in the file.")
    instrument = _make(
        f"{where}, {described['kind']}",
        Instrument,
        {
            "variable": kind.get("variable"),
            "principle": kind.get("principle", ""),
            "shield": described.get("shield", kind.get("shield", "")),
            "height": described.get("height"),
            **_figures(where, kind),
        },
        station=station,
        begins_at=since,
    )
    spoken = {"name": described["channel"], "unit": described.get("sends", kind.get("unit"))}
    return _make(
        f"{where}, channel", Channel, spoken, station=station, instrument=instrument, begins_at=since
    )


def _figures(where: str, kind: Described) -> dict[str, float]:
    """Range, resolution and accuracy in the variable's canonical unit."""
    variable = VARIABLES.get(kind.get("variable", ""))
    if variable is None:
        raise WrongFile(
            f"{where}: {kind.get('variable')!r} is no variable; use one of {', '.join(VARIABLES)}."
        )
    unit = kind.get("unit", variable.unit)
    try:
        low, high = (float(end) for end in convert(kind.get("range", [np.nan, np.nan]), unit, variable.unit))
        zero = convert(0.0, unit, variable.unit)
        steps = {
            key: float(convert(kind[key], unit, variable.unit) - zero)
            for key in ("resolution", "accuracy")
            if key in kind
        }
    except (UnknownUnit, WrongDimension) as error:
        raise WrongFile(f"{where}: {error}") from error
    ends = {"range_low": low, "range_high": high} if "range" in kind else {}
    return {name: float(np.round(value, 9)) for name, value in (ends | steps).items()}


def _calibrate(where: str, channels: Mapping[str, Channel], described: Described, since: datetime) -> None:
    channel = channels.get(described.get("channel", ""))
    if channel is None:
        raise WrongFile(
            f"{where}: a calibration names the channel {described.get('channel')!r}, which it does not have."
        )
    figures = {
        key: value for key, value in described.items() if key not in ("channel", "kind", "why", "since")
    }
    begins_at = _moment(where, described["since"]) if "since" in described else since
    fields = {"kind": described.get("kind"), "parameters": figures, "reason": described.get("why", "")}
    _make(
        f"{where}, calibration of {channel.name}", Calibration, fields, channel=channel, begins_at=begins_at
    )


def _moment(where: str, said: object) -> datetime:
    """A date or time of the file as a moment; a date alone is its beginning in UTC."""
    if isinstance(said, datetime):
        return said if said.tzinfo else said.replace(tzinfo=UTC)
    if isinstance(said, date):
        return datetime.combine(said, time(), UTC)
    raise WrongFile(f"{where}: say since when, such as since = 2025-02-02.")


def _make(where: str, model: type[Row], said: Described, **known: Any) -> Row:
    row = model(**said, **known)
    try:
        row.full_clean()
    except ValidationError as error:
        said = "; ".join(f"{name}: {' '.join(why)}" for name, why in error.message_dict.items())
        raise WrongFile(f"{where}: {said.replace('__all__: ', '')}") from error
    except TypeError as error:
        raise WrongFile(f"{where}: {error}.") from error
    row.save()
    return row
