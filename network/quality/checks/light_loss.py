"""A light sensor that sees less than it did or should under a clear sky: dirty, aged, or turned away."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.checks.clock import apart_from
from network.quality.clear_moments import best_around, best_of, share_when_clear
from network.quality.episodes import episodes
from network.quality.evidence import Evidence
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.solar_days import DAY, FRAMES, SolarDays
from network.quality.window import Floats, Window

LIGHT = ("irradiance", "light_level")


def by_day(record: Record, days: SolarDays, thresholds: Thresholds) -> Floats:
    """Logarithm of the share of its light that the sensor showed, by day, against its own best days.

    The best tenth of a day's clear moments stands for it, so that shade for a part of it costs nothing. By how
    much the calibration may be wrong, its best days may differ from what the others saw.
    """
    share = days.fold(share_when_clear(record, thresholds))
    return _against_its_best(np.log(np.maximum(best_of(share, thresholds["moments"]), 1e-3)), thresholds)


def alone_by_day(record: Record, days: SolarDays, thresholds: Thresholds) -> Floats:
    """As ``by_day`` for a station alone: the best of the days around stands for each, for one may be overcast.

    Against its own best days only, and of a sensor of relative light only what a lower sun cannot have done.
    """
    up = record.sun_elevation > thresholds["sun_above"]
    possible = np.where(up, record.clear_sky, np.nan)
    reach = int(thresholds["days_around"])
    if "irradiance" in record.values:
        best = best_of(days.fold(record.values["irradiance"] / possible), thresholds["moments"])
        return _against_its_best(np.log(np.maximum(best_around(best, reach), 1e-3)), thresholds)
    light = days.fold(np.where(up, record.values["light_level"], np.nan))
    best = np.log(np.maximum(best_around(best_of(light, thresholds["moments"]), reach), 1e-3))
    sun = np.log(best_around(best_of(days.fold(possible), 1), reach))
    known = np.flatnonzero(np.isfinite(best) & np.isfinite(sun))
    if not known.size:
        return best
    return np.asarray(best - best[known[0]] - np.minimum(sun - sun[known[0]], 0.0))


def _against_its_best(daily: Floats, thresholds: Thresholds) -> Floats:
    known = daily[np.isfinite(daily)]
    allowed = thresholds["calibration"]
    return daily - (np.clip(np.quantile(known, 0.8), -allowed, allowed) if known.size else 0.0)


def seek(record: Record, thresholds: Thresholds) -> list[Finding]:
    return apart_from(record, list(_find(record, thresholds)))


def _find(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    variable = next((name for name in LIGHT if name in record.values), None)
    if variable is None or record.seconds.size < FRAMES:
        return
    days = SolarDays.of(record)
    if variable == "irradiance" and "irradiance" in record.around:
        daily, limits = by_day(record, days, thresholds), thresholds
    else:
        daily = alone_by_day(record, days, thresholds)
        limits = {**thresholds, "tolerance": thresholds["tolerance_alone"]}
    for found in episodes(daily, np.full(days.days, thresholds["error"]), limits):
        if found.level < 0:
            yield Finding(
                check="light_loss",
                variable=variable,
                begins_at=max(int(days.begins_at[found.first]), int(record.seconds[0]) - FRAME),
                ends_at=min(int(days.begins_at[found.last]) + DAY, int(record.seconds[-1])),
                strain=found.strain,
                size=1.0 - float(np.exp(found.level)),
                error=found.error,
            )


def judge(window: Window, _: Thresholds) -> Iterator[Evidence]:
    """What is lost is a share, so by night nothing is, and the reading over what is left was expected."""
    for found in window.findings:
        if found.check == "light_loss" and found.variable in window.values:
            values = window.values[found.variable]
            within = (window.seconds > found.begins_at) & (window.seconds <= found.ends_at) & (values > 0)
            expected = values / max(1.0 - found.size, 0.01)
            strain = np.where(within, found.strain, np.nan)
            yield Evidence("light_loss", found.variable, strain, expected, (expected - values) / found.strain)


CHECK = Check(
    name="light_loss",
    bit=32,
    family="long run",
    source="common practice: the light of clear moments against the stations around, or a clear sky's",
    thresholds={
        "sun_above": 10.0,  # [deg]
        "clear": 0.75,  # [1] of a clear sky's light
        "near": 3600.0,  # [s]
        "days_around": 5.0,  # of which a station alone takes the best
        "moments": 6.0,  # frames of a day
        "error": 0.06,  # [1] of a day
        "lasting": 0.5,
        "least_days": 3.0,
        "errors": 4.0,
        "tolerance": 0.18,  # [1] in logarithms: a sixth
        "calibration": 0.1,  # [1] a factor may be wrong by this
        "tolerance_alone": 0.35,  # clear-sky models differ by up to a fifth
    },
    needs="irradiance on some clear days and other stations with it; alone, weeks, and only a loss of a third",
    meaning="The {variable} read {observed}, where {expected} was to be expected: the sensor sees too little.",
    advice="Wipe its dome or window with a soft damp cloth, and see that it is level and looks straight up.",
    judge=judge,
    seek=seek,
)
