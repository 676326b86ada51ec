"""FAO-56: what its worked examples print.

Allen, Pereira, Raes and Smith (1998), Crop evapotranspiration, FAO Irrigation and Drainage Paper 56. All read
second-hand, in the test suites of two public libraries and in public term-by-term copies; what is marked 'from
memory' was not even that. Temperatures in °C, pressures in kPa, radiation in MJ m-2 day-1.
"""

from dataclasses import dataclass
from math import nan

PRESSURE_AT_1800_M, GAMMA_AT_1800_M = 81.8, 0.054  # example 2
SATURATION = ((24.5, 3.075), (15.0, 1.705))  # example 3
SLOPE_AT_30_2 = 0.246  # example 17's table
VAPOUR_FROM_HUMIDITY = {"low": 18.0, "high": 25.0, "dampest": 0.82, "driest": 0.54, "kPa": 1.70}  # example 5
EXTRATERRESTRIAL = ((-20.0, 246, 32.2), (50.80, 187, 41.09), (-22.9, 135, 25.1))  # examples 8, 18, 10
WIND_3_2_AT_10_M = 2.4  # example 14
FROM_10_M = 0.747951  # computed here from eq. 47


@dataclass(frozen=True)
class Day:
    """One worked day or month."""

    place: str
    low: float
    high: float
    vapour: float
    wind: float  # at 2 m
    shortwave: float
    latitude: float
    elevation: float
    day_of_year: int
    ground_heat: float
    net: float  # net radiation, as printed
    printed: float  # [mm/day]


WORKED = (
    Day("Uccle, 6 July (example 18)", 12.3, 21.5, 1.409, 2.078, 22.07, 50.80, 100.0, 187, 0.0, 13.28, 3.9),
    Day("Bangkok, April (example 17; some inputs from memory)", 25.6, 34.8, 2.85, 2.0, 22.65, 13.73, 2.0, 105, 0.14, 14.33, 5.72),
    Day("Lyon, July (example 20; from memory)", 14.8, 26.6, 1.68, 2.0, 22.3, 45.72, 200.0, 196, 0.0, nan, 4.56),
)  # fmt: skip
