"""A clock that is not right, by the sun in the station's own light sensor and by the weather at its neighbours."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.episodes import episodes
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.solar_days import DAY, FRAMES, SolarDays
from network.quality.standing import standing
from network.quality.timekeeping import Witness, by_the_sun, by_the_weather, pairs, sunlight, together

HOUR = 3600.0
SEASONS = {"behind": "winter time is taken for summer", "ahead": "summer time is taken for winter"}


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    if record.seconds.size < FRAMES:
        return
    days = SolarDays.of(record)
    sun, weather = by_the_sun(record, days, thresholds), by_the_weather(record, days, thresholds)
    daily = together([sun, weather])
    limits = thresholds if np.isfinite(sun.behind).any() else _of_one(thresholds)
    wrong = episodes(daily.behind, daily.error, limits)
    witnesses = [*pairs(record), *sunlight(record)] if wrong else []
    for i, found in enumerate(wrong):
        begins_at, ends_at = int(days.begins_at[found.first]), int(days.begins_at[found.last]) + DAY
        follows = i > 0 and wrong[i - 1].last >= found.first - 2
        followed = i < len(wrong) - 1 and wrong[i + 1].first <= found.last + 2
        # Where the clock goes from right to wrong the weather tells to the hour; from wrong to worse it is a day.
        if not follows:
            begins_at = change(record, witnesses, found.level, begins_at, 1.0)
        if not followed and found.last < days.days - 1:
            ends_at = change(record, witnesses, found.level, ends_at, -1.0)
        if ends_at - begins_at < thresholds["shortest"]:
            continue
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
    suspicion = {**thresholds, "tolerance": thresholds["suspected"]}
    days = SolarDays.of(record)
    doubted = [
        (int(days.begins_at[found.first]), int(days.begins_at[found.last]) + DAY)
        for way in (by_the_sun, by_the_weather)
        for found in episodes(*way(record, days, thresholds), suspicion)
    ]
    return outside(findings, doubted)


def outside(findings: list[Finding], spans: list[tuple[int, int]]) -> list[Finding]:
    """Those findings that share no time with any of the spans [s]."""
    return [
        each
        for each in findings
        if not any(each.begins_at < ends_at and begins_at < each.ends_at for begins_at, ends_at in spans)
    ]


def _of_one(thresholds: Thresholds) -> Thresholds:
    """Where no sun bears witness: two days may meet by chance, and a neighbour's wrong clock looks like one's own."""
    return {
        **thresholds,
        "tolerance": thresholds["tolerance_by_one"],
        "least_days": thresholds["least_days_by_one"],
    }


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


CHECK = Check(
    name="clock",
    bit=30,
    family="long run",
    source="equal altitudes of the sun, and the lag of the least mean square difference; limits from common practice",
    thresholds={
        "tolerance": 360.0,  # [s]
        "tolerance_by_one": 2800.0,  # [s] where only the neighbours speak, whose own clock may be the wrong one
        "least_days_by_one": 3.0,
        "suspected": 1500.0,  # [s] by either way alone, from which the light says nothing else
        "shortest": 43200.0,  # [s] of frames that bear the days out
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
