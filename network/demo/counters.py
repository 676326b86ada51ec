"""What boards count instead of measure: tips, pulses and the steps of a converter."""

import numpy as np
from numpy.typing import NDArray

from network.demo.instruments import Instrument
from network.demo.weather import PERIOD
from network.science.units import convert

Array = NDArray[np.float64]
Seconds = NDArray[np.int64]

RESTART = 86400
"""[s] Boards restart at midnight UTC, and their counters with them."""


def times_from_restart(seconds: Seconds) -> Seconds:
    """Every report's time from the last restart before the first of ``seconds`` to the last of them."""
    period = int(PERIOD)
    restart = (seconds.min() - period) // RESTART * RESTART
    return np.arange(restart + period, seconds.max() + 1, period)


def tips_sent(gauge: Instrument, rain: Array, seconds: Seconds) -> Array:
    """What a tipping bucket sends of rain [mm] in each report of an unbroken run that begins at a restart.

    Millimetres or inches of whole tips; or the count of them in the report, or since the restart.
    """
    restarts = (seconds - int(PERIOD)) // RESTART
    first_of_day = np.flatnonzero(np.diff(restarts, prepend=restarts[0] - 1))
    fallen = np.cumsum(rain)
    fallen -= np.repeat((fallen - rain)[first_of_day], np.diff(first_of_day, append=seconds.size))
    total = np.floor(fallen / gauge.resolution + 1e-9)
    if gauge.calibration.get("counts") == "total":
        return total
    tips = np.diff(total, prepend=0.0)
    tips[first_of_day] = total[first_of_day]
    if gauge.calibration:
        return tips
    return np.round(convert(tips * gauge.resolution, gauge.unit, gauge.sends), 4)


def counts_sent(instrument: Instrument, value: Array) -> Array:
    """The raw counts from which a calibration would find ``value``, in the instrument's unit."""
    told = instrument.calibration
    if told["kind"] == "rotor":
        pulses = (value - told["offset"]) / told["metres_per_pulse"] * told["period"]
        return np.where(value < told["threshold"], 0.0, np.ceil(np.maximum(pulses, 0.0)))
    if told["kind"] == "divider":
        at_pin = value * told["lower_resistance"] / (told["upper_resistance"] + told["lower_resistance"])
        return np.asarray(np.round(at_pin / told["reference_voltage"] * (2 ** told["bits"] - 1)))
    low, high = (told["dry"], told["wet"]) if told["kind"] == "wet_board" else (told["dark"], told["bright"])
    return np.asarray(np.round(low + (high - low) * value))
