"""The village's map box as a plain picture to pick a place on: a ruled sheet with north at the top."""

from dataclasses import dataclass
from math import cos, radians

from stations.models import Placement, Station, Village
from stations.models.placement import ROUNDED_TO

WIDTH = 400.0
_METRES_A_DEGREE = 111_200.0


@dataclass(frozen=True)
class Mark:
    """A station on the sheet."""

    x: float
    y: float
    name: str


@dataclass(frozen=True)
class Sheet:
    """What the picture shows, in its own units: x to the right, y downwards."""

    village: Village
    width: float
    height: float
    upright: list[float]  # x of the ruled lines
    level: list[float]  # y of the ruled lines
    kilometre: float
    others: list[Mark]
    own: Mark | None


def sheet(station: Station, latitude: float | None, longitude: float | None) -> Sheet:
    """The sheet for a station that stands, or may stand, at a place; the others as their households show them."""
    village = station.village
    degrees = village.east - village.west
    a_metre = WIDTH / (degrees * _METRES_A_DEGREE * cos(radians(village.centre[0])))
    height = (village.north - village.south) * _METRES_A_DEGREE * a_metre
    every = ROUNDED_TO * 2
    own = None
    if latitude is not None and longitude is not None:
        own = Mark(*_at(village, height, latitude, longitude), station.name)
    return Sheet(
        village,
        WIDTH,
        round(height, 1),
        [_at(village, height, 0, west)[0] for west in _ruled(village.west, village.east, every)],
        [_at(village, height, south, 0)[1] for south in _ruled(village.south, village.north, every)],
        round(1000 * a_metre, 1),
        _others(station, height),
        own,
    )


def _others(station: Station, height: float) -> list[Mark]:
    village = station.village
    standing = Placement.objects.current().filter(station__in=Station.objects.of(village).public())
    marks = []
    for placement in standing.exclude(station=station).select_related("station"):
        if placement.public_place:
            x, y = _at(village, height, *placement.public_place)
            marks.append(Mark(x, y, placement.station.name))
    return marks


def _at(village: Village, height: float, latitude: float, longitude: float) -> tuple[float, float]:
    x = (longitude - village.west) / (village.east - village.west) * WIDTH
    y = (village.north - latitude) / (village.north - village.south) * height
    return round(x, 1), round(y, 1)


def _ruled(first: float, last: float, every: float) -> list[float]:
    begins, ends = int(first // every) + 1, int(last // every)
    return [number * every for number in range(begins, ends + 1)]
