"""What the long run looks at: one station over some weeks, at ten-minute frames."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from network.quality.window import Bools, Floats, Seconds
from network.science.variables import VARIABLES

FRAME = 600
"""[s] The period of one frame."""


@dataclass(frozen=True, eq=False)
class Record:
    """One station between two changes of its metadata, over a few weeks.

    Every array has shape (n,), a value for each frame; units are the catalogue's; NaN where missing.
    """

    station: int
    seconds: Seconds
    """UTC epoch [s], every ``FRAME`` s without a gap, the end of the frame."""
    values: Mapping[str, Floats]
    """By variable, those the station has: the mean of the frame; ``rain_amount`` is what fell in the frame."""
    expected: Mapping[str, Floats]
    """What the trusted neighbours lead one to expect, by variable; for rain, of the hour up to the frame's end."""
    departures: Mapping[str, Floats]
    """Observed minus expected, by variable; for rain, of the hour up to the frame's end."""
    errors: Mapping[str, Floats]
    """Standard error of what was expected, by variable."""
    around: Mapping[str, Floats]
    """The median of all other stations' values in the frame, by variable, for what is never compared: light."""
    latitude: float
    longitude: float
    elevation: float
    report_every: float
    """[s]"""
    sun_elevation: Floats
    """[deg] In the middle of the frame."""
    sun_azimuth: Floats
    """[deg] From north by east, in the middle of the frame."""
    clear_sky: Floats
    """Irradiance under a clear sky [W/m2], in the middle of the frame."""
    ranges: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    resolution: Mapping[str, float] = field(default_factory=dict)
    noise: Mapping[str, float] = field(default_factory=dict)
    overrides: Mapping[str, Mapping[str, float]] = field(default_factory=dict)

    def error(self, variable: str) -> float:
        """Standard error of one reading, instrument and siting together, in the unit of the variable."""
        return self.noise.get(variable, VARIABLES[variable].accuracy)

    def compared(self, variable: str) -> Bools:
        """Where there is a departure, shape (n,)."""
        none = np.full(self.seconds.shape, np.nan)
        return np.isfinite(self.departures.get(variable, none))
