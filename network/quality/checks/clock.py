"""A clock that is not right, by the sun in the station's own light sensor and by the weather at its neighbours."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.episodes import episodes
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.solar_days import DAY, FRAMES, SolarDays
from network.quality.standing import standing
from network.quality.window import Floats
from network.science.daylight import Shift, day_edges, noon_shift
from network.science.lag import best_lag, misfit_by_lag

COMPARED = ("air_temperature", "sea_level_pressure")
LIGHT = ("irradiance", "light_level")
HOUR = 3600.0
SEASONS = {"behind": "winter time is taken for summer", "ahead": "summer time is taken for winter"}

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
    for variable, own, other in _pairs(record):
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


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    if record.seconds.size < FRAMES:
        return
    days = SolarDays.of(record)
    sun, weather = by_the_sun(record, days, thresholds), by_the_weather(record, days, thresholds)
    daily = together([sun, weather])
    wrong = episodes(
        daily.behind, daily.error, thresholds if np.isfinite(sun.behind).any() else _unlit(thresholds)
    )
    witnesses = [*_pairs(record), *_sunlight(record)] if wrong else []
    for i, found in enumerate(wrong):
        begins_at, ends_at = int(days.begins_at[found.first]), int(days.begins_at[found.last]) + DAY
        follows = i > 0 and wrong[i - 1].last >= found.first - 2
        followed = i < len(wrong) - 1 and wrong[i + 1].first <= found.last + 2
        # Where the clock goes from right to wrong the weather tells to the hour; from wrong to worse it is a day.
        if not follows:
            begins_at = change(record, witnesses, found.level, begins_at, 1.0)
        if not followed and found.last < days.days - 1:
            ends_at = change(record, witnesses, found.level, ends_at, -1.0)
        yield Finding(
            check="clock",
            variable="",
            begins_at=max(begins_at, int(record.seconds[0]) - FRAME),
            ends_at=min(ends_at, int(record.seconds[-1])),
            strain=found.strain,
            size=found.level,
            error=found.error,
            hint=in_words(found.level, found.error, wrong[i - 1].level if follows else 0.0),
        )


def apart_from(record: Record, findings: list[Finding]) -> list[Finding]:
    """Those findings during which neither the sun nor the weather doubts the clock: else it explains them.

    A clock that is wrong moves the sun, and so does the neighbours' from which the others' light is known.
    """
    if not findings:
        return findings
    thresholds = {**CHECK.thresholds, **record.overrides.get(CHECK.name, {})}
    days = SolarDays.of(record)
    doubted = [
        (int(days.begins_at[found.first]), int(days.begins_at[found.last]) + DAY)
        for way in (by_the_sun, by_the_weather)
        for found in episodes(*way(record, days, thresholds), _unlit(thresholds))
    ]
    return [
        each
        for each in findings
        if not any(each.begins_at < ends_at and begins_at < each.ends_at for begins_at, ends_at in doubted)
    ]


def _unlit(thresholds: Thresholds) -> Thresholds:
    return {**thresholds, "tolerance": thresholds["tolerance_by_one"]}


def change(record: Record, witnesses: list[Witness], behind: float, near: int, way: float) -> int:
    """When, within a day of ``near`` [s], the clock went wrong (``way`` 1) or right again (-1) [s]."""
    seconds = record.seconds
    within = (seconds > near - DAY) & (seconds <= near + DAY)
    gain = np.zeros(int(within.sum()))
    for _, own, other in witnesses:
        apart = (own - other)[np.isfinite(own - other)]
        offset = np.median(apart) if apart.size else np.nan
        right = (own[within] - other[within] - offset) ** 2
        wrong = (own[within] - np.interp(seconds[within] + behind, seconds, other) - offset) ** 2
        both = np.isfinite(right) & np.isfinite(wrong)
        typical = np.minimum(right, wrong)[both].mean() if both.any() else np.inf
        gain += np.where(both, way * (wrong - right) / max(float(typical), 1e-9), 0.0)
    if not gain.any():
        return near
    before = np.concatenate([[0.0], np.cumsum(gain)])
    return int(seconds[within][0]) + FRAME * (int(np.argmax(before)) - 1)


def in_words(behind: float, error: float, before: float = 0.0) -> str:
    """How a clock is wrong, for a sentence: 'about 20 minutes behind'; ``before`` is what it was just before [s]."""
    way = "behind" if behind > 0 else "ahead"
    if before * behind > 0 and abs(behind) > abs(before):
        return f"about {abs(behind) / 60:.0f} minutes {way}, and more each day"
    if abs(abs(behind) - HOUR) < max(2 * error, 300.0):
        return f"an hour {way}, as when {SEASONS[way]} time"
    if abs(behind) > 1.5 * HOUR:
        return f"about {abs(behind) / HOUR:.1f} hours {way}"
    return f"about {abs(behind) / 60:.0f} minutes {way}"


def _pairs(record: Record) -> Iterator[Witness]:
    for variable in COMPARED:
        if variable in record.values and variable in record.expected:
            yield variable, record.values[variable], record.expected[variable]
    if "irradiance" in record.values and "irradiance" in record.around:
        # The square root, lest a bright noon outweigh every dawn.
        own, other = record.values["irradiance"], record.around["irradiance"]
        yield "irradiance", np.sqrt(np.maximum(own, 0.0)), np.sqrt(np.maximum(other, 0.0))


def _sunlight(record: Record) -> Iterator[Witness]:
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


CHECK = Check(
    name="clock",
    bit=30,
    family="long run",
    source="equal altitudes of the sun, and the lag of the least mean square difference; limits from common practice",
    thresholds={
        "tolerance": 360.0,  # [s]
        "tolerance_by_one": 1500.0,  # [s] where only the neighbours speak, whose own clock may be the wrong one
        "errors": 4.0,
        "lasting": 0.5,  # [1] share of a day's error that every day has
        "least_days": 2.0,
        "first_light": 3.0,  # [W/m2]
        "first_share": 0.02,  # [1] of the full light, for a sensor of relative light
        "night_below": -6.0,  # [deg]
        "sun_error": 120.0,  # [s] of a day's noon at best
        "weather_error": 180.0,  # [s] weather takes minutes to cross a village
        "reach": 10800.0,  # [s]
        "independent_air_temperature": 20.0,  # values of a day that tell something of their own
        "independent_sea_level_pressure": 3.0,
        "independent_irradiance": 20.0,
    },
    needs="a light sensor, or neighbours with temperature, pressure or light; two days",
    meaning="The clock seems to be {hint}: the sun or the neighbours' weather comes at another time by it.",
    advice="Let the station fetch the time from the internet and send UTC, and see that it does so after every start.",
    judge=standing("clock"),
    seek=seek,
    of_station=True,
)
