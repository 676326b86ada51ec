"""The relief of the invented village: a brook in a valley floor, a hill above it, 150 m between them."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

LATITUDE = 47.3120
LONGITUDE = 8.9140
"""[deg] The middle of the map. The coordinates lie in open country; the village on them is invented."""

WIDTH = 2500.0
"""[m] West to east."""

DEPTH = 2000.0
"""[m] South to north."""

VALLEY_FLOOR = 437.0
"""[m] Where the brook leaves the map, the lowest place on it."""

METRES_PER_DEGREE = 111_195.0
"""[m] One degree of latitude on a sphere of 6 371 km radius."""


def metres(latitude: ArrayLike, longitude: ArrayLike) -> tuple[Array, Array]:
    """Metres east and north of the middle of the map, in the shape of the input [deg]."""
    east = (np.asarray(longitude, dtype=np.float64) - LONGITUDE) * np.cos(np.radians(LATITUDE))
    north = np.asarray(latitude, dtype=np.float64) - LATITUDE
    return east * METRES_PER_DEGREE, north * METRES_PER_DEGREE


def degrees(east: ArrayLike, north: ArrayLike) -> tuple[Array, Array]:
    """Latitude and longitude [deg] of a place given in metres from the middle; the inverse of ``metres``."""
    latitude = LATITUDE + np.asarray(north, dtype=np.float64) / METRES_PER_DEGREE
    longitude = np.asarray(east, dtype=np.float64) / METRES_PER_DEGREE / np.cos(np.radians(LATITUDE))
    return latitude, LONGITUDE + longitude


def elevation(latitude: ArrayLike, longitude: ArrayLike) -> Array:
    """Ground above sea level [m] at places given in degrees, in the shape of the input; smooth everywhere."""
    east, north = metres(latitude, longitude)
    from_brook = north - brook(east)
    floor = VALLEY_FLOOR + 0.0028 * (east + WIDTH / 2)
    banks = 16.0 * (1.0 - np.exp(-((from_brook / 230.0) ** 2)))
    hill = 129.5 * np.exp(-(((east - 420.0) / 820.0) ** 2) - ((north - 640.0) / 560.0) ** 2)
    shoulder = 38.0 * np.exp(-(((east + 880.0) / 430.0) ** 2) - ((north - 420.0) / 420.0) ** 2)
    return np.asarray(floor + banks + hill + shoulder)


def brook(east: ArrayLike) -> Array:
    """How far north of the middle [m] the brook runs, at a distance east of it [m]."""
    east = np.asarray(east, dtype=np.float64)
    return -640.0 + 90.0 * np.sin(east / 420.0) + 0.04 * east
