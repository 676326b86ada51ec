"""A station with a battery whose nights are known, straight into the record."""

from datetime import UTC, datetime

import numpy as np

from network.models import Observation
from network.models.storage import Rows, insert
from network.quality.verdict import GOOD
from network.science.sun import clear_sky_irradiance, solar_position
from stations.models import Station
from tests.network.made_village import channel, found_village, settle_station

NOW = int(datetime(2025, 11, 20, 12, tzinfo=UTC).timestamp())
DAYS = 9


def orchard() -> Station:
    """A station that measures the sun and its lithium-ion cell; nothing of it is known yet."""
    made = settle_station(found_village(), "Orchard", ("irradiance",))
    channel(made, "battery_voltage", unit="V", principle="lithium-ion cell, by a divider")
    return made


def live(station: Station, first: float, a_night: float, by_day: float, sun: float = 0.5) -> None:
    """Nine days of volts: each night falls by so many, each day rises by so many, in step with the sun."""
    at = NOW - 86400 * DAYS + np.arange(600, 86400 * DAYS, 600, dtype=np.int64)
    elevation, _ = solar_position(at, *station.village.centre)
    clear = clear_sky_irradiance(elevation)
    dark = elevation < 0
    change = np.where(dark, -a_night / (dark.sum() / DAYS), by_day * clear / (clear.sum() / DAYS))
    columns = {
        "said_twice": np.zeros(at.size),
        "battery_voltage": first + np.cumsum(change),
        "battery_voltage_mark": np.full(at.size, float(GOOD)),
        "irradiance": sun * clear,
        "irradiance_mark": np.full(at.size, float(GOOD)),
    }
    insert(Observation, Rows(np.full(at.size, station.pk), at, columns))
