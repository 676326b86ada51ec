"""The course of registering a station: what is asked, what has been answered, what is still missing."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Self

from django.urls import reverse

from network.science.variables import VARIABLES
from stations.calibrating import not_understood
from stations.models import Channel, DeviceKey, Placement, Station
from stations.paces import pace


def described(stations: Any) -> Any:
    """Stations of a queryset with all that their course asks about, in a fixed number of queries."""
    return stations.select_related("household__village").prefetch_related(
        "placements__siting_notes",
        "placements__siting_drafts",
        "channels__instrument",
        "channels__calibrations",
        "instruments",
        "clocks",
        "keys",
    )


def placement(station: Station) -> Placement | None:
    """Where it stands now."""
    return next((place for place in station.placements.all() if place.ends_at is None), None)


def channels(station: Station) -> list[Channel]:
    """What its device says now, in the order of the catalogue."""
    current = [channel for channel in station.channels.all() if channel.ends_at is None]
    order = list(VARIABLES)
    return sorted(current, key=lambda channel: (order.index(channel.instrument.variable), channel.name))


def measured(station: Station) -> list[str]:
    """Variables it measures now, in the order of the catalogue."""
    return list(dict.fromkeys(channel.instrument.variable for channel in channels(station)))


def sited(station: Station) -> list[str]:
    """Variables whose surroundings are worth a note: all it measures but its own battery."""
    return [name for name in measured(station) if name != "battery_voltage"]


def keys(station: Station) -> list[DeviceKey]:
    """Device keys that still open the door."""
    return [key for key in station.keys.all() if key.revoked_at is None]


def missing(station: Station) -> list[str]:
    """What must still be told before a steward can look at the station, each a sentence."""
    sentences = []
    if placement(station) is None:
        sentences.append("Say where it stands.")
    if not channels(station):
        sentences.append("Describe at least one instrument.")
    sentences += [
        f"'{channel.name}' sends raw numbers: give it a calibration."
        for channel in channels(station)
        if not_understood(channel)
    ]
    if not keys(station):
        sentences.append("Make a device key, so that it can report.")
    return sentences


def _place(station: Station) -> str:
    place = placement(station)
    return f"{place.latitude:.4f}, {place.longitude:.4f}; {place.elevation:.0f} m" if place else ""


def _instruments(station: Station) -> str:
    current = channels(station)
    raw = sum(not_understood(channel) for channel in current)
    if not current:
        return ""
    count = f"{len(current)} channel{'s' if len(current) > 1 else ''}"
    return f"{count}, {raw} still to be calibrated" if raw else count


def _siting(station: Station) -> str:
    place = placement(station)
    noted = {note.variable for note in place.siting_notes.all()} if place else set()
    asked = sited(station)
    about = sum(name in noted for name in asked)
    return f"{about} of {len(asked)} described" if about else ""


def _clock(station: Station) -> str:
    clock = next((clock for clock in station.clocks.all() if clock.ends_at is None), None)
    return f"{clock.zone}, a report {pace(station.report_every)}" if clock else ""


def _keys(station: Station) -> str:
    return ", ".join(f"…{key.ending}" for key in keys(station))


@dataclass(frozen=True)
class Step:
    """One question of the course; its address is called register- and its name."""

    name: str
    question: str
    answer: Callable[[Station], str]


STEPS = (
    Step("name", "What is it called?", lambda station: station.name),
    Step("place", "Where does it stand?", _place),
    Step("instruments", "What does it measure?", _instruments),
    Step("siting", "What stands around it?", _siting),
    Step("clock", "How does it tell the time?", _clock),
    Step("key", "How does it prove itself?", _keys),
    Step("waiting", "Is it heard?", lambda station: ""),
)


@dataclass(frozen=True)
class Stop:
    """A step as one station's page shows it."""

    number: int
    name: str
    question: str
    answer: str
    link: str
    here: bool = False


@dataclass(frozen=True)
class Course:
    """The whole way, and where on it the reader is."""

    stops: list[Stop]
    here: Stop | None = None
    before: Stop | None = None
    after: Stop | None = None

    @classmethod
    def of(cls, station: Station, name: str = "") -> Self:
        stops = [
            Stop(
                number,
                step.name,
                step.question,
                step.answer(station),
                reverse(f"register-{step.name}", args=[station.pk]),
                step.name == name,
            )
            for number, step in enumerate(STEPS, 1)
        ]
        at = next((index for index, stop in enumerate(stops) if stop.here), None)
        if at is None:
            return cls(stops)
        return cls(stops, stops[at], stops[at - 1] if at else None, (stops[at + 1 :] or [None])[0])

    @property
    def next_open(self) -> Stop:
        """The first question that has no answer yet; the last where all have."""
        return next((stop for stop in self.stops if not stop.answer), self.stops[-1])
