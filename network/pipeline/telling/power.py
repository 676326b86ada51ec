"""A station's supply: how full its battery is, how long it will last, and when its keeper should hear of it."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from network.models import Observation
from network.models.storage import read
from network.pipeline.ledger import blocks
from network.pipeline.metadata.stretches import epoch
from network.quality.verdict import MISSING, WRONG, verdict_of
from network.science.autonomy import (
    AWAKE,
    Nights,
    Outlook,
    at_dawn,
    awake_share,
    hours_gained,
    nights,
    outlook,
)
from network.science.battery import Battery, recognise, state_of_charge
from network.science.sun import clear_sky_irradiance, solar_position
from stations.models import Station

LOOK_BACK = 14 * blocks.DAY
"""[s] Longer, and the season and the battery are others."""

SOON = 5.0
"""Nights: a keeper who is told so long before can still wait for a dry day to climb a ladder."""

FULL = 0.95
"""[1] At dawn, and nobody need worry."""


@dataclass(frozen=True)
class Power:
    """What is known of a station's supply."""

    battery: Battery
    lowest: float
    """[V] Below it the sensors are not to be believed."""
    seen: Nights
    volts: np.ndarray
    """At each of their dawns [V], shape (n,)."""
    outlook: Outlook
    report_every: int
    """[s]"""
    awake: float
    """Share of a night's fall that goes with the reports [1]."""
    awake_from: str
    """'history', 'assumption' or 'keeper'."""

    @property
    def at_its_end(self) -> bool:
        """Whether it is as low as its sensors can bear."""
        return bool(self.volts[-1] <= self.lowest) or self.outlook.nights == 0

    @property
    def ends_soon(self) -> bool:
        """Whether its keeper should look now rather than later."""
        at_this_rate = self.outlook.falling and self.outlook.nights <= SOON
        return (
            self.at_its_end or at_this_rate or (self.outlook.without_sun < 1 and self.outlook.charge < FULL)
        )

    def hours_gained(self, longer: float) -> float:
        """What reports so many times as far apart would gain in the dark [h]; NaN where nothing falls."""
        least = float(state_of_charge(self.lowest, self.battery))
        hours = float(np.nanmedian(self.seen.hours))
        return hours_gained(
            max(self.outlook.charge - least, 0.0), self.outlook.fall / hours, longer, self.awake
        )


def power(station: Station, at: int, awake: float | None = None) -> Power | None:
    """The supply over the last two weeks, as of ``at`` [UTC epoch s].

    ``awake`` is the keeper's own word on what reports cost [1]. None where there is no voltage, no battery that
    could be told, or not yet four dawns.
    """
    columns = ("battery_voltage", "battery_voltage_mark", "irradiance", "irradiance_mark")
    rows = read(Observation, [station.pk], at - LOOK_BACK, at + 1, columns)
    volts, irradiance = (_believed(rows.columns, name) for name in ("battery_voltage", "irradiance"))
    battery = recognise(volts, _description(station, at))
    if battery is None:
        return None
    elevation, _ = solar_position(rows.at, *station.village.centre)
    charge = state_of_charge(volts, battery)
    seen = nights(rows.at, charge, elevation, irradiance, clear_sky_irradiance(elevation))
    lowest = station.thresholds.get("supply", {}).get("lowest") or battery.lowest
    ahead = outlook(seen, battery.kind.doubt, float(state_of_charge(lowest, battery)))
    if ahead is None or not np.isfinite(ahead.fall):
        return None
    share, told_by = next(_awake(awake, seen))
    return Power(
        battery=battery,
        lowest=lowest,
        seen=seen,
        volts=at_dawn(seen, rows.at, volts),
        outlook=ahead,
        report_every=station.report_every,
        awake=share,
        awake_from=told_by,
    )


def _awake(keeper: float | None, seen: Nights) -> Iterator[tuple[float, str]]:
    """What reports cost, and who says so: the best informed first."""
    if keeper is not None:
        yield keeper, "keeper"
    share = awake_share(seen)
    if np.isfinite(share):
        yield share, "history"
    yield AWAKE, "assumption"


def _description(station: Station, at: int) -> str:
    """What its battery gauge is said to be, at the time."""
    gauges = (one for one in station.instruments.all() if one.variable == "battery_voltage")
    held = [g for g in gauges if epoch(g.begins_at) <= at < epoch(g.ends_at)]
    return held[0].principle if held else ""


def _believed(columns: dict[str, np.ndarray], name: str) -> np.ndarray:
    mark = np.nan_to_num(columns[f"{name}_mark"], nan=MISSING).astype(np.int64)
    return np.where(verdict_of(mark) == WRONG, np.nan, columns[name])
