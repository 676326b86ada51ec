"""What a station's clock says against the sun in its own light sensor, and against the weather at its neighbours."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Thresholds
from network.quality.record import FRAME, Record
from network.quality.solar_days import SolarDays
from network.quality.window import Floats
from network.science.daylight import Shift, day_edges, noon_shift
from network.science.lag import best_lag, misfit_by_lag

COMPARED = ("air_temperature", "sea_level_pressure")
LIGHT = ("irradiance", "light_level")

Witness = tuple[str, Floats, Floats]
"""A variable, what the station saw of it, and what should have been seen there by a right clock."""


def by_the_sun(record: Record, days: SolarDays, thresholds: Thresholds) -> Shift:
    """How far the clock is behind by the dawns and dusks in the station's own light sensor, by day [s]."""
    dark = record.sun_elevation < thresholds["night_below"]
    known = [name for name in LIGHT if name in record.values and np.isfinite(record.values[name][dark]).any()]
    if not known:
        return Shift(np.full(days.days, np.nan), np.full(days.days, np.nan))
    light = record.values[known[0]]
    light = np.maximum(light - np.nanmedian(light[dark]), 0.0)
    if known[0] == "irradiance":
        level = np.log1p(thresholds["first_light"])
        should = day_edges(days.fold(np.log1p(record.clear_sky)), level)
        found = noon_shift(*day_edges(days.fold(np.log1p(light)), level), *should)
    else:
        found = _by_relative_light(light, record, days, thresholds["first_share"])
    return Shift(FRAME * found.behind, np.hypot(FRAME * found.error, thresholds["sun_error"]))


def _by_relative_light(light: Floats, record: Record, days: SolarDays, share: float) -> Shift:
    """As ``noon_shift``, from a sensor of which nobody knows how high the sun stands at its first light."""
    sun = days.fold(record.sun_elevation)
    rises, falls = day_edges(days.fold(light), share * np.nanquantile(light, 0.95))
    heights = (_at(sun, rises) + _at(sun, falls)) / 2  # a wrong clock lifts the one and sinks the other
    if not np.isfinite(heights).any():
        return Shift(heights, heights)
    found = noon_shift(rises, falls, *day_edges(sun, np.nanquantile(heights, 0.25)))
    # Having been fitted, a day may meet that height by luck: it is no surer than the others.
    return Shift(found.behind, np.maximum(found.error, np.sqrt(np.nanmean(found.error**2))))


def by_the_weather(record: Record, days: SolarDays, thresholds: Thresholds) -> Shift:
    """How far the clock is behind by what the neighbours saw sooner or later, by day [s]."""
    reach = round(thresholds["reach"] / FRAME)
    found = [Shift(np.full(days.days, np.nan), np.full(days.days, np.nan))]
    for variable, own, other in pairs(record):
        sunshine = None if variable == "irradiance" else days.fold(record.clear_sky)
        misfit = misfit_by_lag(days.fold(own), days.fold(other, reach), sunshine)
        lag = best_lag(misfit, thresholds[f"independent_{variable}"])
        found.append(Shift(FRAME * lag.behind, np.hypot(FRAME * lag.error, thresholds["weather_error"])))
    return together(found)


def together(shifts: list[Shift]) -> Shift:
    """One shift for each day; where they contradict each other the error grows with their disagreement.

    The neighbours count as one witness beside the sun, however many variables they have: the wrong clock may
    be theirs.
    """
    behind, error = np.stack([s.behind for s in shifts]), np.stack([s.error for s in shifts])
    weight = np.where(np.isfinite(behind), 1.0 / error**2, 0.0)
    total, count = weight.sum(axis=0), (weight > 0).sum(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (weight * np.nan_to_num(behind)).sum(axis=0) / total
        disagreement = (weight * (np.nan_to_num(behind) - mean) ** 2).sum(axis=0) / np.maximum(count - 1, 1)
        return Shift(mean, np.sqrt(np.maximum(disagreement, 1.0) / total))


def pairs(record: Record) -> Iterator[Witness]:
    """The station beside its neighbours."""
    for variable in COMPARED:
        if variable in record.values and variable in record.expected:
            yield variable, record.values[variable], record.expected[variable]
    if "irradiance" in record.values and "irradiance" in record.around:
        # The square root, lest a bright noon outweigh every dawn.
        own, other = record.values["irradiance"], record.around["irradiance"]
        yield "irradiance", np.sqrt(np.maximum(own, 0.0)), np.sqrt(np.maximum(other, 0.0))


def sunlight(record: Record) -> Iterator[Witness]:
    """The light and the clear sky's: by logarithm, for dawn and dusk tell more than any cloud."""
    if "irradiance" in record.values:
        own = np.log1p(np.maximum(record.values["irradiance"], 0.0))
        yield "irradiance", own, np.log1p(record.clear_sky)


def _at(rows: Floats, columns: Floats) -> Floats:
    """A value of each row between two columns; NaN where the column is."""
    there = np.nan_to_num(columns)
    before = np.clip(there.astype(np.intp), 0, rows.shape[1] - 2)
    row = np.arange(len(rows))
    between = rows[row, before] + (there - before) * (rows[row, before + 1] - rows[row, before])
    return np.where(np.isfinite(columns), between, np.nan)
