"""Every check, one file each, in the order in which they look: cheapest first."""

from network.quality.check import Check
from network.quality.checks import (
    climate,
    departure,
    dew_point_above_temperature,
    gust_below_mean,
    humidity_above_100,
    light_above_clear_sky,
    light_at_night,
    noise,
    physical,
    pressure_for_elevation,
    rain_alone,
    rain_in_dry_air,
    rain_missed,
    range_end,
    repeated,
    rotor,
    spike,
    step,
    still_alone,
    stuck,
    supply,
    unit_hypothesis,
)

_FILES = (
    range_end,
    supply,
    physical,
    climate,
    step,
    spike,
    stuck,
    noise,
    repeated,
    gust_below_mean,
    humidity_above_100,
    dew_point_above_temperature,
    light_at_night,
    light_above_clear_sky,
    rain_in_dry_air,
    pressure_for_elevation,
    departure,
    still_alone,
    unit_hypothesis,
    rain_alone,
    rain_missed,
    rotor,
)

CHECKS: dict[str, Check] = {file.CHECK.name: file.CHECK for file in _FILES}
"""By name. A new check takes the next free bit, 23 to 27, and may never give it back."""
