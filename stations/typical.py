"""What common home instruments can do, to begin a form with. All from common practice: a data sheet knows better."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Typical:
    """One common sort of instrument; its figures in the variable's shown unit."""

    words: str
    principle: str
    range_low: float | None = None
    range_high: float | None = None
    resolution: float | None = None
    accuracy: float | None = None
    shield: str = ""


_TYPICAL: Mapping[str, tuple[Typical, ...]] = {
    "air_temperature": (
        Typical("an outdoor thermometer in a louvred screen", "digital", -40, 60, 0.1, 0.4, "louvred screen"),
        Typical("a cheap humidity sensor's own thermometer", "thermistor", 0, 50, 0.1, 1.0),
    ),
    "relative_humidity": (
        Typical("a digital hygrometer", "capacitive", 0, 100, 1, 3, "louvred screen"),
        Typical("a cheap hygrometer made for rooms", "resistive", 20, 90, 1, 5),
    ),
    "station_pressure": (Typical("a digital barometer", "piezoresistive", 300, 1100, 0.1, 1.0),),
    "wind_speed": (Typical("a cup rotor", "cups", 0, 50, 0.1, 0.6),),
    "wind_gust": (Typical("the fastest three seconds of a cup rotor", "cups", 0, 60, 0.1, 1.0),),
    "wind_from_direction": (
        Typical("a vane with a potentiometer", "vane, potentiometer", 0, 360, 1, 5),
        Typical("a vane of sixteen points", "vane, switches", 0, 360, 22.5, 10),
    ),
    "rain_amount": (Typical("a tipping bucket of 0.2 mm", "tipping bucket", 0, None, 0.2, 0.2),),
    "irradiance": (Typical("a photodiode under a diffuser", "photodiode", 0, 1500, 1, 30),),
    "light_level": (Typical("a light-dependent resistor", "light-dependent resistor", 0, 100, 1, 5),),
    "surface_wetness": (Typical("a board of bare copper tracks", "resistive board", 0, 100, 1, 10),),
    "battery_voltage": (Typical("two resistors before the board's converter", "divider", 0, 20, 0.02, 0.1),),
}


def typical(variable: str) -> tuple[Typical, ...]:
    """Common sorts of instrument for a variable."""
    return _TYPICAL.get(variable, ())
