"""A village whose hours are made by hand: which nights were clear and calm, and how two stations then differed."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from network.models import Summary
from network.science.sun import clear_sky_irradiance, solar_position
from stations.models import Station, Village
from tests.network.made_village import found_village, settle_station

ZONE = ZoneInfo("Europe/Zurich")
DAYS = 24
BEGINS = int(datetime(2025, 5, 5, tzinfo=ZONE).timestamp())
HOURS = BEGINS + 3600 * np.arange(DAYS * 24)
DAY = np.repeat(np.arange(DAYS), 24)
"""Village days, each from its midnight."""

SUN = solar_position(HOURS + 1800, 47.312, 8.914)[0]
WEEKS = {"from": "2025-05-05", "to": "2025-05-28"}

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Known:
    """The village and its two stations."""

    village: Village
    green: Station
    brook: Station

    def address(self, more: str = "") -> str:
        return f"/{self.village.slug}/compare/{more}"

    @property
    def asked(self) -> dict[str, str]:
        return {"stations": f"{self.green.pk},{self.brook.pk}", **WEEKS}


def keep(station: Station, hours: Mapping[str, Floats], figure: str = "mean") -> None:
    """Summaries of these hours; NaN where too few readings were good."""
    Summary.objects.bulk_create(
        Summary(
            station=station, span="hour", begins_at=int(at), variable=name, good=12, reports=12,
            **{figure: None if np.isnan(value) else float(value)},
        )
        for name, values in hours.items()
        for at, value in zip(HOURS, values, strict=True)
    )  # fmt: skip


def found() -> Known:
    """Green and Brook measure temperature; Green sunlight and wind besides. Nothing is measured yet."""
    village = found_village()
    green = settle_station(
        village, "Green", ("air_temperature", "irradiance", "wind_speed", "wind_from_direction")
    )
    return Known(village, green, settle_station(village, "Brook"))


def weather(known: Known, light: Floats, wind: Floats, direction: float = 270.0) -> None:
    """Green's light as a share of a clear sky's, and its wind [m/s], both of shape (hours,)."""
    possible = clear_sky_irradiance(SUN)
    keep(known.green, {"irradiance": light * possible, "wind_speed": wind})
    keep(known.green, {"wind_from_direction": np.full(len(HOURS), direction)})


def temperatures(known: Known, difference: Floats) -> None:
    """Brook's less Green's [K], shape (hours,)."""
    green = 285.0 + 6.0 * np.sin((HOURS - BEGINS) / 86400 * 2 * np.pi) + 0.01 * DAY
    keep(known.green, {"air_temperature": green})
    keep(known.brook, {"air_temperature": green + difference})


def clear_spells() -> Floats:
    """Days that were clear: two, then two of cloud, and so on; shape (hours,) of shares of light."""
    return np.where(DAY % 4 < 2, 1.0, 0.3)


def hollow(known: Known) -> None:
    """Clear spells in calm air, in whose nights Brook is 2 K colder; at other times 0.3 K."""
    weather(known, clear_spells(), np.full(len(HOURS), 1.0))
    by_clear_day = clear_spells() > 0.5
    temperatures(known, np.where((SUN < 0) & by_clear_day, -2.0, -0.3) + 0.001 * (DAY % 7))
