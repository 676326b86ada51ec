"""The ground as the eye reads it: its slope, and how the light falls on it."""

from math import cos, radians, sin

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def gradients(ground: ArrayLike, width: float, depth: float) -> tuple[Floats, Floats]:
    """How much the ground rises towards the east and towards the north, both (rows, columns).

    Parameters
    ----------
    ground : array_like, shape (rows, columns)
        [m], south in row 0. Beyond its edge the ground is taken to go on as it does there. NaN spreads to the
        eight cells around.
    width, depth : float
        Of a cell, west to east and south to north [m].

    Source: Horn (1981), Hill shading and the reflectance map, Proceedings of the IEEE 69, 14-47: the eight
    cells around, those straight beside with twice the weight.
    """
    # Reflecting about the last cell keeps a plane a plane, so that its edge is not a cliff.
    z = np.pad(np.asarray(ground, dtype=np.float64), 1, mode="reflect", reflect_type="odd")
    across = z[:-2] + 2 * z[1:-1] + z[2:]
    along = z[:, :-2] + 2 * z[:, 1:-1] + z[:, 2:]
    return (across[:, 2:] - across[:, :-2]) / (8 * width), (along[2:] - along[:-2]) / (8 * depth)


def shade(
    ground: ArrayLike,
    width: float,
    depth: float,
    light_from: float = 315.0,
    light_height: float = 45.0,
    exaggerated: float = 1.0,
) -> Floats:
    """How brightly the light falls on each cell, 0 to 1; level ground has the sine of the light's height.

    The light comes from ``light_from`` [degrees clockwise from north], by custom the north-west, at
    ``light_height`` [degrees]; heights count ``exaggerated`` times. Shapes and missing cells as in ``gradients``.

    Source: Horn (1981), the Lambertian reflectance map, equation for a distant source (from memory).
    """
    east, north = (exaggerated * part for part in gradients(ground, width, depth))
    level = cos(radians(light_height))
    towards_east, towards_north = level * sin(radians(light_from)), level * cos(radians(light_from))
    lit = sin(radians(light_height)) - east * towards_east - north * towards_north
    return np.asarray(np.maximum(lit / np.sqrt(1 + east**2 + north**2), 0.0))
