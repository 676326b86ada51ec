"""What a check looks at: one station over a span of time, with where it stands and what it measures with."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from network.quality.finding import Finding
from network.science.moisture import saturation_vapour_pressure
from network.science.variables import VARIABLES

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Seconds = NDArray[np.int64]
Expected = tuple[Floats, Floats]
"""What the neighbours lead one to expect, and its standard error; NaN where there is no estimate."""

RAIN_REPORT = 300.0
"""[s] The catalogue's limit for rain is for a report of this length."""


@dataclass(frozen=True, eq=False)
class Together:
    """Variables of a station whose possible readings are of the same times: k of them at m times."""

    names: tuple[str, ...]
    where: Bools
    """Of the window's readings, those that are possible, shape (n,)."""
    seconds: Seconds
    """Their times, shape (m,)."""
    values: Floats
    """Shape (k, m)."""


@dataclass(frozen=True)
class Window:
    """One station over a span: what it measured, where, and with what.

    Every array has shape (n,). Values are in the catalogue's units: finite, or NaN where missing.
    """

    station: int
    seconds: Seconds
    """UTC epoch [s], ascending and unique, the end of the period measured."""
    values: Mapping[str, Floats]
    """By variable, and only the variables that the station has."""
    elevation: float
    latitude: float
    longitude: float
    report_every: float
    """[s]"""
    ranges: Mapping[str, tuple[float, float]]
    """The instrument's own range, by variable."""
    resolution: Mapping[str, float]
    noise: Mapping[str, float]
    """Standard error by variable: the instrument's accuracy together with its siting."""
    sun_elevation: Floats
    """[deg]"""
    clear_sky: Floats
    """Irradiance under a clear sky [W/m2]."""
    repeated: Mapping[str, Bools]
    """Where the station said two different values for one instant."""
    overrides: Mapping[str, Mapping[str, float]]
    """Check name -> threshold name -> the station's own value."""
    expected: Mapping[str, Expected] = field(default_factory=dict)
    """From the neighbours, by variable; empty while the station is looked at alone."""
    shared: Mapping[str, Floats] = field(default_factory=dict)
    """How far another station departs to the same side, as a share of the departure here, by variable."""
    findings: Sequence[Finding] = ()
    """What the long run found about this station."""
    battery: str = ""
    """What its keeper calls the battery; empty where nobody has said."""

    def limits(self, variable: str) -> tuple[float, float]:
        """What is physically possible in one reading of a variable, in its unit."""
        limits = VARIABLES[variable].limits
        if variable == "rain_amount":
            return limits.low, limits.high * self.report_every / RAIN_REPORT
        return limits.low, limits.high

    @cached_property
    def possible(self) -> Mapping[str, Bools]:
        """Where there is a value that could be one at all; only such values tell about those beside them."""
        limits = {name: self.limits(name) for name in self.values}
        return {
            name: (values >= limits[name][0]) & (values <= limits[name][1])
            for name, values in self.values.items()
        }

    def together(self, variables: Iterable[str]) -> list[Together]:
        """The possible readings of those of the variables that there are, as few tables of them as can be."""
        alike: dict[bytes, list[str]] = {}
        for name in variables:
            if name in self.values:
                alike.setdefault(self.possible[name].tobytes(), []).append(name)
        tables = []
        for names in alike.values():
            where = self.possible[names[0]]
            values = np.stack([self.values[name][where] for name in names])
            tables.append(Together(tuple(names), where, self.seconds[where], values))
        return tables

    def error(self, variable: str) -> float:
        """Standard error of one reading, in the unit of the variable."""
        return self.noise.get(variable, VARIABLES[variable].accuracy)

    @cached_property
    def expected_humidity(self) -> Floats:
        """What the neighbours' dew point and temperature lead one to expect [1], shape (n,); NaN without them."""
        if not {"dew_point", "air_temperature"} <= self.expected.keys():
            return np.full(self.seconds.shape, np.nan)
        vapour = saturation_vapour_pressure(self.expected["dew_point"][0])
        return vapour / saturation_vapour_pressure(self.expected["air_temperature"][0])

    def reduction(self) -> Floats:
        """Station pressure over the same pressure at sea level, shape (n,); NaN where there is none."""
        at_sea_level = self.values["sea_level_pressure"]
        return self.values["station_pressure"] / np.where(at_sea_level > 0, at_sea_level, np.nan)
