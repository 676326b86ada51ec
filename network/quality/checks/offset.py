"""A station that has stood off its neighbours, always by the same, from the beginning of what is looked at."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.shifts import shifts
from network.quality.spans import COMPARED, spans, stands_off
from network.quality.standing import standing

NAMES = tuple(name for name in COMPARED if name != "wind_speed")
"""A rotor's steady share is its shelter: told by direction, not here."""


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    for variable in NAMES:
        frames = stands_off(record, variable)
        seen = spans(record, frames)
        known = np.isfinite(seen.values)
        if known.sum() < thresholds["least_spans"]:
            continue
        first = min(shifts(record, variable), key=lambda each: each.begins_at, default=None)
        if first is not None:
            if not first.ends_another(tolerance(record, variable, thresholds)):
                continue
            known &= seen.ends <= first.begins_at
        quarters = [
            np.median(seen.values[known & (seen.quarter == q)]) for q in np.unique(seen.quarter[known])
        ]
        size = float(np.mean(quarters)) if quarters else 0.0
        # What shows by day only, or by night only, is the sun or the cold pool and not the sensor.
        least = min((np.sign(size) * each for each in quarters), default=0.0)
        if abs(size) <= thresholds[variable] or least < thresholds["steady"] * abs(size):
            continue
        limit = tolerance(record, variable, thresholds)
        if abs(size) > limit:
            begins_at = int(record.seconds[0]) - FRAME
            ends_at = first.begins_at if first is not None else int(record.seconds[-1])
            error = limit / thresholds["errors"]
            hint = "too high" if size > 0 else "too low"
            yield Finding("offset", variable, begins_at, ends_at, abs(size) / limit, size, error, hint)


def tolerance(record: Record, variable: str, thresholds: Thresholds) -> float:
    """How far an honest station may stand off for good: the neighbours' error, and what lasts of its own."""
    compared = COMPARED[variable]
    error = float(np.nanmedian(record.errors[compared]))
    if variable == "relative_humidity":
        error *= thresholds["humidity_per_dew_point"]
    own = thresholds["lasting"] * record.error(variable)
    return max(thresholds[variable], thresholds["errors"] * float(np.hypot(error, own)))


CHECK = Check(
    name="offset",
    bit=25,
    family="long run",
    source="common practice: the median departure against its standard error, the neighbours' and what lasts of the"
    " station's own together",
    thresholds={
        "least_spans": 12.0,  # of six hours
        "errors": 3.0,
        "lasting": 0.5,  # share of an instrument's error that never changes
        "steady": 0.5,  # share of the size that every quarter of the day must show
        "humidity_per_dew_point": 0.06,  # [1/K] slope of the Magnus formula near saturation
        "air_temperature": 1.0,  # least size, each in the variable's own unit
        "relative_humidity": 0.12,
        "station_pressure": 100.0,
    },
    needs="departures from the neighbours over three days",
    meaning="Day and night the {variable} reads {hint} beside its neighbours, by about {size}, as far back as we look.",
    advice="A barometer: are its elevation and its calibration right, and does it send the pressure at the station?"
    " A thermometer: is there a wall or a roof near it, or a calibration to set?",
    judge=standing("offset", corrects=True),
    seek=seek,
)
