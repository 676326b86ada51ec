"""Rain: what fronts and showers let fall, and how long surfaces stay wet after it."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo import fronts, showers
from network.demo.fronts import Front
from network.demo.showers import Cell
from network.demo.waves import Waves, rise

Array = NDArray[np.float64]

HOUR = 3600.0
DRIZZLE = 0.06
"""[mm/h] Less than this is no rain."""

DRYING = 2400.0
"""[s] A wet surface is a third as wet after this time."""


class Rain:
    """Rain over the village at any time."""

    def __init__(self, random: np.random.Generator) -> None:
        self._texture = Waves(random, lasting=900.0, reach=1400.0, drift=6.0)

    def intensity(
        self, passing: list[Front], cells: list[Cell], seconds: Array, east: ArrayLike, north: ArrayLike
    ) -> Array:
        """[mm/h] at times (t,) and places (n,) [m]: shape (n, t)."""
        band = fronts.total(passing, Front.rainfall, seconds, east, north)
        showery, _ = showers.total(cells, seconds, east, north)
        banded = np.flatnonzero(band.any(axis=0))  # a front's rain is rare, and its texture dear
        if banded.size:
            band[:, banded] *= np.clip(0.5 + self._texture(seconds[banded], east, north), 0.0, None)
        fallen = band + showery
        return np.where(fallen < DRIZZLE, 0.0, fallen)

    def amount(
        self,
        passing: list[Front],
        cells: list[Cell],
        middle: Array,
        period: float,
        east: ArrayLike,
        north: ArrayLike,
    ) -> Array:
        """[mm] fallen in the ``period`` [s] about the ``middle`` (t,), from five looks: shape (n, t)."""
        looks = [
            self.intensity(passing, cells, middle + share * period, east, north)
            for share in (-0.4, -0.2, 0.0, 0.2, 0.4)
        ]
        return np.asarray(np.mean(looks, axis=0) * period / HOUR)

    def left_wet(
        self, passing: list[Front], cells: list[Cell], seconds: Array, east: ArrayLike, north: ArrayLike
    ) -> tuple[Array, Array]:
        """How wet surfaces are [1] after the last rain, and how damp it left the ground [1]: shapes (n, t).

        A surface is wet at the first drops; the ground grows damp as the rain goes on.
        """
        wet = np.zeros((np.size(east), seconds.size))
        damp, weights = np.zeros_like(wet), 0.0
        for ago in np.arange(0.0, 2 * HOUR, 300.0):
            soaked = rise(self.intensity(passing, cells, seconds - ago, east, north) / 0.8)
            left = np.exp(-ago / DRYING)
            wet, damp, weights = np.maximum(wet, soaked * left), damp + soaked * left, weights + left
        return wet, damp / weights
