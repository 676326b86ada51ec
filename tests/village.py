"""A field we know everywhere: eight places in the invented village and the true weather at each, without Django."""

from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo import terrain
from network.demo.weather import Weather

Array = NDArray[np.float64]

WEATHER = Weather(seed=7)


@dataclass(frozen=True)
class Places:
    """Places of shape (n,): degrees, degrees, metres above the sea."""

    latitude: Array
    longitude: Array
    elevation: Array

    def truth(self, seconds: ArrayLike) -> dict[str, Array]:
        """Every variable at epoch times (t,), in inside units: shapes (n, t)."""
        return WEATHER.at(seconds, self.latitude, self.longitude, self.elevation)


def places(east: ArrayLike, north: ArrayLike) -> Places:
    """Places by their metres from the middle of the village, on its relief."""
    latitude, longitude = terrain.degrees(east, north)
    return Places(latitude, longitude, terrain.elevation(latitude, longitude))


STATIONS = places(
    east=[-700.0, 600.0, 0.0, -500.0, 200.0, 900.0, -900.0, 450.0],
    north=[-720.0, -560.0, -300.0, 50.0, 250.0, 300.0, 500.0, 620.0],
)
"""From the brook up to the hill."""


def five_minutes(begin: str, days: float) -> NDArray[np.int64]:
    """Epoch seconds of the ends of the five-minute periods of some ``days`` from ``begin``, an ISO date in UTC."""
    first = int(datetime.fromisoformat(begin).replace(tzinfo=UTC).timestamp())
    return first + 300 * np.arange(1, round(days * 288) + 1, dtype=np.int64)
