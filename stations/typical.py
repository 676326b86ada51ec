"""What common home instruments can do, to begin a form with. All from common practice: a data sheet knows better."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Typical:
    """One common sort of instrument, by what it is; its figures in the variable's shown unit."""

    words: str
    principle: str
    range_low: float | None = None
    range_high: float | None = None
    resolution: float | None = None
    accuracy: float | None = None
    response: float | None = None  # [s]
    height: float | None = None  # [m]
    shield: str = ""

    @property
    def figures(self) -> str:
        """Range and error in a few characters; empty where neither is usual."""
        told = []
        if self.range_low is not None and self.range_high is not None:
            told.append(f"{self.range_low:g} to {self.range_high:g}".replace("-", "−"))
        if self.accuracy is not None:
            told.append(f"±{self.accuracy:g}")
        return ", ".join(told)


_TYPICAL: Mapping[str, tuple[Typical, ...]] = {
    "air_temperature": (
        Typical(
            "an outdoor thermometer in a louvred screen",
            "digital",
            -40,
            60,
            0.1,
            0.4,
            120,
            1.5,
            "louvred screen",
        ),
        Typical(
            "an outdoor thermometer in a fan-drawn shield",
            "digital",
            -40,
            60,
            0.1,
            0.3,
            40,
            1.5,
            "fan-drawn shield",
        ),
        Typical(
            "a platinum resistor in a louvred screen",
            "platinum resistor",
            -50,
            70,
            0.01,
            0.15,
            60,
            1.5,
            "louvred screen",
        ),
        Typical("a waterproof probe on a cable, digital", "digital", -55, 125, 0.1, 0.5, 60, 1.5),
        Typical("a cheap humidity sensor's own thermometer", "thermistor", 0, 50, 0.1, 1.0, 30),
    ),
    "relative_humidity": (
        Typical("a digital hygrometer", "capacitive", 0, 100, 1, 3, 30, 1.5, "louvred screen"),
        Typical("a cheap hygrometer made for rooms", "resistive", 20, 90, 1, 5, 30),
    ),
    "station_pressure": (
        Typical("a digital barometer", "piezoresistive", 300, 1100, 0.1, 1.0),
        Typical("a dial barometer that is read by a camera or by hand", "aneroid", 960, 1060, 1, 2.0),
    ),
    "wind_speed": (
        Typical("a cup rotor", "cups", 0, 50, 0.1, 0.6, 3, 10),
        Typical("a propeller on a vane", "propeller", 0, 60, 0.1, 0.5, 3, 10),
        Typical("an ultrasonic instrument", "ultrasonic", 0, 40, 0.1, 0.4, 1, 10),
    ),
    "wind_gust": (Typical("the fastest three seconds of a cup rotor", "cups", 0, 60, 0.1, 1.0, 3, 10),),
    "wind_from_direction": (
        Typical("a vane with a potentiometer", "vane, potentiometer", 0, 360, 1, 5, 3, 10),
        Typical("a vane of sixteen points", "vane, switches", 0, 360, 22.5, 10, 3, 10),
    ),
    "rain_amount": (
        Typical("a tipping bucket of 0.2 mm", "tipping bucket", 0, None, 0.2, 0.2, None, 1.0),
        Typical("a tipping bucket of 0.5 mm", "tipping bucket", 0, None, 0.5, 0.4, None, 1.0),
    ),
    "irradiance": (
        Typical("a photodiode under a diffuser", "photodiode", 0, 1500, 1, 30, 1, 1.5),
        Typical("a thermopile under a dome", "thermopile", 0, 2000, 1, 15, 15, 1.5),
    ),
    "light_level": (Typical("a light-dependent resistor", "light-dependent resistor", 0, 100, 1, 5, 1),),
    "surface_wetness": (Typical("a board of bare copper tracks", "resistive board", 0, 100, 1, 10, 60),),
    "battery_voltage": (Typical("two resistors before the board's converter", "divider", 0, 20, 0.02, 0.1),),
}


def typical(variable: str) -> tuple[Typical, ...]:
    """Common sorts of instrument for a variable."""
    return _TYPICAL.get(variable, ())
