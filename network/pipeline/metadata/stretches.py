"""A station's metadata over a span, cut where it changed: each stretch has one place and one set of instruments.

Checks never look across a move or a swapped sensor, and the past keeps the metadata of its day.
"""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from network.science.siting import added_uncertainty
from network.science.variables import VARIABLES
from network.spatial.distance import local_plane
from network.spatial.sites import Sites
from stations.models import Instrument, Placement, Station, Village

FOREVER = 1 << 40
PARENTS = {"dew_point": "air_temperature", "sea_level_pressure": "station_pressure"}
"""Which instrument a derived variable stands on."""


@dataclass(frozen=True)
class Stretch:
    """One station between two changes of its metadata, with everything the engines ask about it."""

    station: int
    name: str
    begins_at: int
    ends_at: int
    latitude: float
    longitude: float
    elevation: float
    report_every: float
    counts_from: float
    counts_until: float
    ranges: dict[str, tuple[float, float]]
    resolution: dict[str, float]
    noise: dict[str, float]
    height: dict[str, float]
    thresholds: dict[str, dict[str, float]]
    shown_at: tuple[float, float] | None  # as its household lets others see it
    battery: str  # as its keeper describes it

    def counts(self, seconds: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Where the village may use its readings."""
        return (seconds >= max(self.counts_from, self.begins_at)) & (
            seconds < min(self.counts_until, self.ends_at)
        )


def stretches(village: Village, begins_at: int, ends_at: int) -> list[Stretch]:
    """Every placed station's stretches that touch the span, in order of station and time."""
    found = (
        Station.objects.of(village).order_by("pk").prefetch_related("placements__siting_notes", "instruments")
    )
    return [stretch for station in found for stretch in _of(station, begins_at, ends_at)]


def sites(stretches: Iterable[Stretch], village: Village) -> Sites:
    """Where the stretches stand, on the village's plane."""
    stretches = list(stretches)
    east, north = local_plane(
        np.array([s.latitude for s in stretches]), np.array([s.longitude for s in stretches]), village.centre
    )
    return Sites(east, north, np.array([s.elevation for s in stretches]))


def as_shown(standing: Iterable[Stretch]) -> list[Stretch]:
    """The stretches where their households let others see them, without those that are not shown.

    What everybody may see is made from these: a map's error is least at its stations, so it would give
    their true places away. A station that nobody has approved yet is left out: not even the height that it
    claims may bend the ground of the village.
    """
    return [
        replace(place, latitude=place.shown_at[0], longitude=place.shown_at[1])
        for place in standing
        if place.shown_at is not None and place.counts_from < FOREVER
    ]


def epoch(moment: datetime | None, otherwise: int = FOREVER) -> int:
    """UTC epoch seconds of a moment."""
    return otherwise if moment is None else int(moment.timestamp())


def _of(station: Station, begins_at: int, ends_at: int) -> Iterable[Stretch]:
    placements, instruments = list(station.placements.all()), list(station.instruments.all())
    edges = {begins_at, ends_at}
    for period in (*placements, *instruments):
        edges |= {epoch(period.begins_at), epoch(period.ends_at)}
    cuts = sorted(edge for edge in edges if begins_at <= edge <= ends_at)
    for first, last in itertools.pairwise(cuts):
        placement = next((p for p in placements if _holds(p, first)), None)
        if placement is not None:
            yield _stretch(station, placement, [i for i in instruments if _holds(i, first)], first, last)


def _holds(period: Placement | Instrument, at: int) -> bool:
    return epoch(period.begins_at) <= at < epoch(period.ends_at)


def _stretch(
    station: Station, placement: Placement, instruments: list[Instrument], first: int, last: int
) -> Stretch:
    by_variable = {instrument.variable: instrument for instrument in reversed(instruments)}
    for derived, parent in PARENTS.items():
        if parent in by_variable:
            by_variable[derived] = by_variable[parent]
    classes = {note.variable: note.siting_class for note in placement.siting_notes.all()}
    return Stretch(
        station=station.pk,
        name=station.name,
        begins_at=first,
        ends_at=last,
        latitude=placement.latitude,
        longitude=placement.longitude,
        elevation=placement.elevation,
        report_every=float(station.report_every),
        counts_from=epoch(station.counts_from),
        counts_until=epoch(station.counts_until),
        ranges={name: _range(i) for name, i in by_variable.items() if name not in PARENTS},
        resolution={
            name: i.resolution for name, i in by_variable.items() if i.resolution and name not in PARENTS
        },
        noise={
            name: _noise(name, i, classes.get(PARENTS.get(name, name))) for name, i in by_variable.items()
        },
        height={name: i.height for name, i in by_variable.items() if i.height is not None},
        thresholds=station.thresholds,
        shown_at=placement.public_place,
        battery=by_variable["battery_voltage"].principle if "battery_voltage" in by_variable else "",
    )


def _range(instrument: Instrument) -> tuple[float, float]:
    low, high = instrument.range_low, instrument.range_high
    return (-np.inf if low is None else low, np.inf if high is None else high)


def _noise(name: str, instrument: Instrument, siting_class: int | None) -> float:
    """Instrument and siting together: a badly sited thermometer pulls the map less."""
    variable = VARIABLES[name]
    own = variable.accuracy if name in PARENTS or not instrument.accuracy else instrument.accuracy
    return float(np.hypot(own, added_uncertainty(variable, siting_class)))
