"""Where readings came from: the station, its place as it may be known, its instruments, and how it was judged."""

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import date
from hashlib import sha256

from django.utils.translation import gettext_noop

from network.quality.checks import CHECKS
from network.science.variables import VARIABLES
from network.web.files.asked import Asked
from network.web.history import Entry, describe, history
from network.web.quantities import words_of
from stations.models import Placement, Station

LICENCE = gettext_noop(
    "The readings are their household’s. The hub knows of no licence: ask the household before passing them on."
)

END_OF_PERIOD = gettext_noop("Times are the end of the period measured, in UTC.")


@dataclass(frozen=True)
class Place:
    """Where the station stood from a day on, as everybody may know it; None where it is not shown."""

    since: date
    latitude: float | None
    longitude: float | None
    elevation: float | None  # [m]
    shown: str


@dataclass(frozen=True)
class Fitted:
    """An instrument over a time."""

    variable: str
    described: str
    accuracy: float | None  # standard error
    unit: str  # of the accuracy
    since: date
    until: date | None


@dataclass(frozen=True)
class Column:
    """One variable of the file."""

    name: str
    words: str
    unit: str  # in CSV and Parquet
    inside: str  # in netCDF, but for rain
    standard_name: str


@dataclass(frozen=True)
class Origin:
    """Everything a data sheet says."""

    station: str
    household: str
    village: str
    zone: str
    first: date
    last: date
    report_every: int  # [s]
    places: list[Place]
    instruments: list[Fitted]
    log: list[Entry]
    columns: list[Column]
    checks: str
    licence: str = LICENCE
    times: str = END_OF_PERIOD

    def as_json(self) -> str:
        """All of it in one text, as files carry it."""
        plain = asdict(self) | {"log": [[f"{one.at:%Y-%m-%d}", *one.sentences] for one in self.log]}
        return json.dumps(plain, default=str, ensure_ascii=False)


def origin(question: Asked) -> Origin:
    """What is known of the station over the days asked for. Files are passed on: they say what everybody may know."""
    station = question.station
    return Origin(
        station=station.name,
        household=station.household.name,
        village=station.village.name,
        zone=station.village.zone,
        first=question.first,
        last=question.last,
        report_every=station.report_every,
        places=list(_places(station)),
        instruments=[
            Fitted(one.variable, describe(one), one.accuracy, VARIABLES[one.variable].unit, one.begins_at.date(), one.ends_at and one.ends_at.date())
            for one in station.instruments.all()
        ],
        log=history(station, station.village.clock),
        columns=[_column(name) for name in question.variables()],
        checks=checks_version(),
    )  # fmt: skip


def _places(station: Station) -> Iterator[Place]:
    for one in station.placements.all():
        spot = one.public_place
        latitude, longitude = spot or (None, None)
        yield Place(
            one.begins_at.date(), latitude, longitude, public_elevation(one), station.get_shown_display()
        )


def public_elevation(placement: Placement) -> float | None:
    """The ground as everybody may know it [m]: it tells where one is, so it is rounded with the place."""
    if placement.public_place is None:
        return None
    exact = placement.station.shown == Station.Shown.EXACT
    return placement.elevation if exact else 5.0 * round(placement.elevation / 5)


def _column(name: str) -> Column:
    variable = VARIABLES[name]
    return Column(name, words_of(name), variable.shown_unit, variable.unit, variable.standard_name)


def checks_version() -> str:
    """Which checks with which thresholds: eight letters that change with any of them."""
    told = repr([(one.name, one.bit, sorted(one.thresholds.items())) for one in CHECKS.values()])
    return sha256(told.encode()).hexdigest()[:8]
