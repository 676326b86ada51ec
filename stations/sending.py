"""A line to paste into a terminal that sends one report with a station's own channels."""

import json
import shlex

from network.science.units import UnknownUnit, WrongDimension, convert
from network.science.variables import VARIABLES
from stations.calibrating import RAW
from stations.models import Channel

_FAIR_DAY = {
    "air_temperature": 285.15,
    "relative_humidity": 0.7,
    "station_pressure": 96000.0,
    "wind_speed": 2.0,
    "wind_gust": 5.0,
    "wind_from_direction": 225.0,
    "rain_amount": 0.0,
    "irradiance": 300.0,
    "light_level": 0.4,
    "surface_wetness": 0.0,
    "battery_voltage": 4.0,
}
"""A value of each variable on an ordinary day, in its canonical unit."""


def example(channels: list[Channel]) -> dict[str, float]:
    """One observation as the channels would send it: a value each, in the unit it sends."""
    return {channel.name: _value(channel) for channel in channels}


def curl_line(address: str, key: str, channels: list[Channel]) -> str:
    """A command that sends ``example`` once."""
    body = json.dumps(example(channels), ensure_ascii=False)
    return " ".join(
        [
            "curl",
            f"-H {shlex.quote(f'Authorization: Bearer {key}')}",
            "-H 'Content-Type: application/json'",
            f"-d {shlex.quote(body)}",
            shlex.quote(address),
        ]
    )


def _value(channel: Channel) -> float:
    variable = VARIABLES[channel.instrument.variable]
    if channel.unit in RAW:
        return 1
    ordinary = _FAIR_DAY.get(variable.name, (variable.limits.low + variable.limits.high) / 2)
    try:
        return float(f"{float(convert(ordinary, variable.unit, channel.unit)):.4g}")
    except (UnknownUnit, WrongDimension):
        return 1
