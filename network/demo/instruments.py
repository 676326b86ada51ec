"""What an instrument makes of the weather: its height and shield, its error, its range and resolution."""

from dataclasses import dataclass, field
from typing import Any
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from network.demo.waves import Waves
from network.science.units import convert
from network.science.variables import VARIABLES

Array = NDArray[np.float64]

STARTING_WIND = 0.5
"""[m/s] Cups rest in less."""

ROUGHNESS = 0.1
"""[m] Roughness length of gardens and meadows."""

OF_THE_VALUE = ("wind_speed", "wind_gust", "rain_amount", "irradiance")
"""What these instruments get wrong is a share of the value; the others are off by an amount."""


@dataclass(frozen=True)
class Instrument:
    """One sensor as the village file describes it, and the channel its board sends it by."""

    station: str
    variable: str
    unit: str  # of range, resolution and accuracy
    range: tuple[float, float]
    resolution: float
    accuracy: float
    channel: str
    sends: str  # the unit in which the board really sends it
    height: float = 10.0
    shield: str = ""
    calibration: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def fitted(
        cls, station: str, kind: dict[str, Any], fitting: dict[str, Any], calibration: dict[str, Any]
    ) -> "Instrument":
        """An instrument of a ``kind`` of the village file, by its ``fitting`` at a station."""
        return cls(
            station=station,
            variable=kind["variable"],
            unit=kind["unit"],
            range=(kind["range"][0], kind["range"][1]),
            resolution=kind["resolution"],
            accuracy=kind["accuracy"],
            shield=kind.get("shield", ""),
            channel=fitting["channel"],
            sends=fitting["sends"],
            height=fitting.get("height", 10.0),
            calibration=calibration,
        )

    def sense(self, truth: dict[str, Array], seconds: NDArray[np.int64]) -> Array:
        """What it reads of the truth at times (t,), in ``unit``; NaN where there is nothing to read."""
        value = convert(self._exposed(truth), VARIABLES[self.variable].unit, self.unit)
        random = np.random.default_rng(crc32(f"{self.station}/{self.channel}".encode()))
        lasting_error, flicker = random.normal(0.0, 0.5), 0.12 * Waves(random, lasting=40.0)(seconds)[0]
        if self.variable in OF_THE_VALUE:
            value = value * (1.0 + 0.05 * (lasting_error + flicker))
        else:
            value = value + self.accuracy * (lasting_error + flicker)
        if self.variable == "wind_from_direction":
            value = value % 360.0
        return np.asarray(np.clip(value, *self.range))

    def rounded(self, value: Array) -> Array:
        """Values in ``unit`` at the steps the instrument can show."""
        steps = np.round(value / self.resolution) * self.resolution
        return steps % 360.0 if self.variable == "wind_from_direction" else steps

    def _exposed(self, truth: dict[str, Array]) -> Array:
        """The truth where the sensor hangs, rather than in the open: canonical unit."""
        value = truth[self.variable]
        if self.variable == "air_temperature":
            return value + radiation_error(
                truth["irradiance"], truth["wind_speed"], bare=self.shield == "none"
            )
        if self.variable in ("wind_speed", "wind_gust"):
            at_height = value * np.log(self.height / ROUGHNESS) / np.log(10.0 / ROUGHNESS)
            return np.where(at_height < STARTING_WIND, 0.0, at_height)
        return value


def radiation_error(irradiance: Array, wind: Array, bare: bool) -> Array:
    """How much too warm [K] sunshine [W/m2] makes a thermometer in a wind [m/s], any shape.

    In full sun and still air some 8 K without a shield, a tenth of that behind louvres (common practice).
    """
    return (8.0 if bare else 0.8) * irradiance / 800.0 / (1.0 + wind / 3.0)
