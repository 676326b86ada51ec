"""A thermometer that reads too warm in sunshine and calm air: its shield is missing or poor."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.checks import clock
from network.quality.episodes import episodes
from network.quality.evidence import Evidence
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.solar_days import DAY, SolarDays
from network.quality.sunshine import load
from network.quality.window import Floats, Window
from network.science.least_squares import fit_rows

AIR = "air_temperature"


def by_day(record: Record, days: SolarDays, thresholds: Thresholds) -> tuple[Floats, Floats]:
    """How much a full load of sun warms the thermometer more than its neighbours, by day, and the error [K].

    By day alone, so that air that pools at night is not taken for it, and beside a share of the expected
    warming, so that a clock that is wrong is not either.
    """
    daylight = record.sun_elevation > thresholds["sun_above"]
    departure = np.where(daylight, record.departures[AIR], np.nan)
    warming = np.gradient(record.expected[AIR])
    causes = (
        np.ones(departure.size),
        load(record.clear_sky, record.values, record.around, record.expected),
        warming,
    )
    found, errors = fit_rows(
        days.fold(departure), np.stack([days.fold(cause) for cause in causes]), thresholds["independent"]
    )
    return found[1], np.hypot(errors[1], thresholds["error"])


def seek(record: Record, thresholds: Thresholds) -> list[Finding]:
    found = list(_find(record, thresholds))
    wrong = clock.CHECK.look_back(record) if found else []
    return clock.outside(found, [(each.begins_at, each.ends_at) for each in wrong])


def _find(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    if record.seconds.size < 2 or not record.compared(AIR).any():
        return
    days = SolarDays.of(record)
    for found in episodes(*by_day(record, days, thresholds), thresholds):
        if found.level > 0:
            yield Finding(
                check="daytime_bias",
                variable=AIR,
                begins_at=max(int(days.begins_at[found.first]), int(record.seconds[0]) - FRAME),
                ends_at=min(int(days.begins_at[found.last]) + DAY, int(record.seconds[-1])),
                strain=found.strain,
                size=found.level,
                error=found.error,
            )


def judge(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    """Only readings in enough sunshine are in doubt, by as much as it warms them."""
    if AIR not in window.values:
        return
    values = window.values[AIR]
    for found in window.findings:
        if found.check == "daytime_bias":
            within = (window.seconds > found.begins_at) & (window.seconds <= found.ends_at)
            excess = found.size * load(window.clear_sky, window.values)
            strain = np.where(within & np.isfinite(values), excess / thresholds["harm"], np.nan)
            yield Evidence("daytime_bias", AIR, strain, values - excess, thresholds["harm"])


CHECK = Check(
    name="daytime_bias",
    bit=29,
    family="long run",
    source="regression of the departure on sunshine over wind; some 8 K in full sun and calm air without a shield,"
    " a tenth of that behind louvres (common practice)",
    thresholds={
        "sun_above": 5.0,  # [deg]
        "independent": 0.2,  # share of a day's departures that tells something of its own
        "error": 0.7,  # [K] of a day's figure at best: walls and slopes that warm one place more than another
        "lasting": 0.5,  # share of a day's error that every day has
        "least_days": 2.0,
        "errors": 4.0,
        "tolerance": 3.0,  # [K] in full sun and calm air
        "harm": 1.0,  # [K] from which a reading is in doubt
    },
    needs="expected temperature over some sunny days; sunlight and wind make it surer",
    meaning="The {variable} read {observed}, about {size} more than the air: it grows too warm in sunshine and calm.",
    advice="Sunshine reaches the sensor or its shield is poor. Put it into a louvred or ventilated screen, in the"
    " shade and away from walls.",
    judge=judge,
    seek=seek,
)
