"""Stations side by side over a span, hour by hour: how they differ, by what, and what that says of their places."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from network.models import Observation
from network.models.hours import read_hours
from network.models.storage import Floats, read
from network.pipeline.ledger import blocks
from network.pipeline.metadata.stretches import stretches
from network.pipeline.neighbours.scorecard import kept
from network.pipeline.records.setting import Setting, errors, setting
from network.science import paired
from network.science.errors_in_both import Line, line
from network.science.occasions import Occasions, clear_calm_nights, sunny_afternoons
from network.science.sampling import independent_values, standard_error_of_mean
from network.science.summary import SHARE_NEEDED, summarise
from network.science.variables import VARIABLES
from stations.models import Station, Village

SURE = 1.645
"""Standard errors on either side that hold nine of ten."""

SECTORS = 8
CALM = 1.0
"""[m/s] Below this the wind comes from nowhere in particular (common practice); its group follows the sectors."""

WET_HOUR = 0.2
"""[mm] From this on, by either gauge, an hour is compared."""

WET_DAY = 1.0
"""[mm] From this on, by either gauge, a day is wet (climatological practice, from memory)."""


@dataclass(frozen=True)
class Told:
    """One kind of occasion: the differences then and otherwise, and how often chance sets them so far apart."""

    then: paired.Signs
    otherwise: paired.Signs
    unlike: float  # [1]


@dataclass(frozen=True)
class Rain:
    """Wet days: the share caught, and on how many days less or more."""

    days: Floats  # (2, d) amounts of the station and of the base [mm]
    share: paired.Ratio
    signs: paired.Signs


@dataclass(frozen=True)
class Pair:
    """One station against the base. Differences are station minus base, in the canonical unit."""

    station: Station
    base: Station
    values: Floats  # (2, t) of the station and of the base
    difference: Floats  # (t,)
    mean: float
    error: float  # standard error of the mean, the memory of the series counted
    hours: int
    by_hour: paired.Spread  # 24, by the village's clock
    by_sector: paired.Spread  # eight sectors from north, then calm
    line: Line | None  # station over base
    nights: Told | None
    afternoons: Told | None
    rain: Rain | None


@dataclass(frozen=True)
class SideBySide:
    """Stations over a span; the first is the base."""

    variable: str
    stations: list[Station]
    only_good: bool  # or readings of any verdict
    begins_at: int
    ends_at: int
    values: Floats  # (stations, t), what stands for each hour
    setting: Setting
    nights: Occasions
    afternoons: Occasions
    pairs: list[Pair]


def side_by_side(
    village: Village,
    stations: Sequence[Station],
    variable: str,
    span: tuple[int, int],
    only_good: bool = True,
) -> SideBySide:
    """Compare two stations or more over the hours of ``span`` [UTC epoch s]."""
    begins_at, ends_at = span[0] // blocks.HOUR * blocks.HOUR, -(-span[1] // blocks.HOUR) * blocks.HOUR
    places = stretches(village, begins_at, ends_at)
    around = setting(village, places, begins_at, ends_at)
    every = read_hours if only_good else _of_all_readings
    values = np.array([every(one.pk, variable, begins_at, ends_at) for one in stations])
    card = kept([one.pk for one in stations], ends_at)
    scored = {key: one.random_error for (key, name), one in card.items() if name == variable}
    known = {key: error for key, error in scored.items() if np.isfinite(error) and error > 0}
    error = errors([one.pk for one in stations], variable, places, known)
    nights = clear_calm_nights(around.solar, around.sun, around.light, around.wind)
    afternoons = sunny_afternoons(around.solar, around.sun, around.light)
    base, local = stations[0], _local(around.begins_at, village)
    pairs = [
        _pair(variable, (one, base), (own, values[0]), (error[one.pk], error[base.pk]), around, local,
              nights, afternoons)
        for one, own in zip(stations[1:], values[1:], strict=True)
    ]  # fmt: skip
    return SideBySide(
        variable, list(stations), only_good, begins_at, ends_at, values, around, nights, afternoons, pairs
    )


def _of_all_readings(station: int, variable: str, begins_at: int, ends_at: int) -> Floats:
    """As ``read_hours``, of readings of any verdict."""
    rows = read(Observation, [station], begins_at + 1, ends_at + 1, [variable])
    if not len(rows):
        return np.full((ends_at - begins_at) // blocks.HOUR, np.nan)
    every = float(np.median(np.diff(rows.at))) if len(rows) > 1 else blocks.HOUR
    due = np.full((ends_at - begins_at) // blocks.HOUR, blocks.HOUR / max(every, 1.0))
    hour = (rows.at - 1 - begins_at) // blocks.HOUR
    kind = VARIABLES[variable].summary
    made = summarise(rows.columns[variable], hour, kind, due=due)
    return made[{"sum": "total", "maximum": "high"}.get(kind, "mean")]


def _local(hours: np.ndarray, village: Village) -> tuple[np.ndarray, np.ndarray]:
    """The hour of the day and the day that each hour's middle lies in, by the village's clock."""
    zone = village.clock
    middles = [datetime.fromtimestamp(at + blocks.HOUR // 2, zone) for at in hours.tolist()]
    return np.array([one.hour for one in middles]), np.array([one.toordinal() for one in middles])


def _pair(
    variable: str,
    both: tuple[Station, Station],
    values: tuple[Floats, Floats],
    error: tuple[float, float],
    around: Setting,
    local: tuple[np.ndarray, np.ndarray],
    nights: Occasions,
    afternoons: Occasions,
) -> Pair:
    kind = VARIABLES[variable].summary
    difference = values[0] - values[1]
    if kind == "direction":
        difference = paired.turn(difference)
    hour, day = local
    compared = difference
    if kind == "sum":
        compared = np.where(np.fmax(*values) >= WET_HOUR, difference, np.nan)
    sector = np.round(np.nan_to_num(around.from_direction) / (360 / SECTORS)).astype(int) % SECTORS
    sector = np.where(np.isfinite(around.from_direction) & (around.wind >= CALM), sector, -1)
    sector = np.where(around.wind < CALM, SECTORS, sector)
    warmth = variable == "air_temperature"
    rain = _rain(values, day) if kind == "sum" else None
    hours = int(np.isfinite(difference).sum())
    return Pair(
        *both,
        values=np.array(values),
        difference=difference,
        mean=float(np.nanmean(difference)) if hours else np.nan,
        error=standard_error_of_mean(difference) if hours else np.nan,
        hours=hours,
        by_hour=paired.by_group(compared, hour, 24),
        by_sector=paired.by_group(compared, sector, SECTORS + 1),
        line=None if kind in ("sum", "direction") else _line(values, error),
        nights=_told(nights, difference) if warmth else None,
        afternoons=_told(afternoons, difference) if warmth else None,
        rain=rain,
    )


def _line(values: tuple[Floats, Floats], error: tuple[float, float]) -> Line:
    """The station's values over the base's, its errors grown to the scatter and the memory of the departures."""
    found = line(values[1], values[0], error[1], error[0])
    if not np.isfinite(found.slope):
        return found
    return found.widened(independent_values(values[0] - found.at(values[1])[0]))


def _told(occasions: Occasions, difference: Floats) -> Told:
    means = occasions.means(difference)
    then, otherwise = means[occasions.meant], means[occasions.other]
    return Told(paired.signs(then), paired.signs(otherwise), paired.unlike(then, otherwise))


def _rain(values: tuple[Floats, Floats], day: np.ndarray) -> Rain:
    """Amounts of the wet days, over the hours that both stations have."""
    group = day - day.min(initial=day[0] if day.size else 0)
    both = np.isfinite(values[0]) & np.isfinite(values[1])
    size = int(group.max(initial=-1)) + 1
    due, there = np.bincount(group, minlength=size), np.bincount(group[both], minlength=size)
    amounts = np.array([np.bincount(group[both], one[both], size) for one in values])
    wet = (there >= SHARE_NEEDED * due) & (amounts.max(axis=0, initial=0.0) >= WET_DAY)
    days = amounts[:, wet]
    return Rain(days, paired.ratio_of_totals(days[0], days[1]), paired.signs(np.round(days[0] - days[1], 6)))
