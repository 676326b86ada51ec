"""A battery too low for the sensors that live on it."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Floats, Window
from network.science.battery import recognise
from network.science.variables import VARIABLES

SUPPLIES = ((9.0, "lead_acid_12"), (5.6, "lead_acid_6"), (4.4, "usb_5"), (-np.inf, "lithium_cell"))
"""From which usual voltage [V] on a battery is taken for which kind."""

FLAT = 0.1
"""[V] Below it there is no battery to speak of."""


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    volts = window.values.get("battery_voltage")
    if volts is None or not np.isfinite(volts).any():
        return
    lowest = thresholds["lowest"] or _lowest(volts, window.battery, thresholds)
    strain = lowest / np.maximum(volts, FLAT)
    for variable in window.values:
        if variable != "battery_voltage" and not VARIABLES[variable].derived:
            yield Evidence("supply", variable, strain)


def _lowest(volts: Floats, described: str, thresholds: Thresholds) -> float:
    """[V] Of the battery as its keeper describes it, else of what its voltage suggests."""
    battery = recognise(volts, described)
    if battery is not None and battery.told:
        return battery.lowest
    usual = float(np.nanquantile(volts, 0.75))
    return thresholds[next(kind for above, kind in SUPPLIES if usual >= above)]


CHECK = Check(
    name="supply",
    bit=1,
    family="instrument",
    source="common practice: 12 V lead-acid is disconnected at about 11 V, a lithium cell at 3.0 V",
    thresholds={
        "lowest": 0.0,  # [V] 0: by the kind of battery, as follows
        "lead_acid_12": 11.0,
        "lead_acid_6": 5.5,
        "usb_5": 4.5,
        "lithium_cell": 3.1,
    },
    needs="the battery voltage",
    meaning="The battery was too low for its sensors when the {variable} read {observed}.",
    advice="Short days and a dusty panel are the usual causes. Does the battery fill on a bright day?",
    judge=look,
    of_station=True,
    excused_by="departure",
)
