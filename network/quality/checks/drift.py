"""A station that wanders off its neighbours, little by little, over many days."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.finding import Finding
from network.quality.record import Record
from network.quality.shifts import Shift, shifts
from network.quality.spans import COMPARED
from network.quality.standing import standing

DAY = 86400


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    told: dict[str, list[Shift]] = {name: [] for name in COMPARED}
    names = (name for name in COMPARED if name in thresholds)
    for variable, found in ((name, each) for name in names for each in shifts(record, name)):
        if found.at_once or found.steady < thresholds["steady"]:
            continue
        tolerance = max(thresholds[variable], thresholds["errors"] * found.error)
        if abs(found.size) > tolerance and not any(found.meets(other) for other in told[variable]):
            told[variable].append(found)
            yield from day_by_day(variable, found, abs(found.size) / tolerance)


def day_by_day(variable: str, found: Shift, strain: float) -> Iterator[Finding]:
    """The drift in pieces of a day, each as far off as it was by its middle, and one for what has settled."""
    edges = [*range(found.begins_at, found.full_at, DAY), found.full_at]
    if found.ends_at > found.full_at:
        edges.append(found.ends_at)
    hint = "warmer and warmer" if variable == "air_temperature" else "higher and higher"
    if found.size < 0:
        hint = "colder and colder" if variable == "air_temperature" else "lower and lower"
    for begins_at, ends_at in pairwise(edges):
        middle = (begins_at + ends_at) / 2
        risen = float(np.interp(middle, [found.begins_at, found.full_at], [0.0, 1.0]))
        yield Finding(
            "drift", variable, begins_at, ends_at, strain, risen * found.size, risen * found.error, hint
        )


CHECK = Check(
    name="drift",
    bit=24,
    family="long run",
    source="Page (1954), cumulative sums; a ramp by least squares, with the memory of the series reckoned in, held"
    " against a break by Schwarz's criterion (1978); least sizes from common practice",
    thresholds={
        "errors": 3.0,  # standard errors of the size
        "steady": 0.5,  # share of the size that every quarter of the day must show
        "air_temperature": 0.6,  # least size, each in the variable's own unit
        "relative_humidity": 0.07,
        "station_pressure": 100.0,
    },
    needs="departures from the neighbours over a week",
    meaning="The {variable} has wandered off its neighbours over several days, {hint}: by now by {size}.",
    advice="A sensor that ages, dirt on its shield or its filter, damp in its plug, or a hedge that grows. Clean it"
    " first; if the drift goes on, compare it with a good thermometer, hygrometer or barometer.",
    judge=standing("drift", corrects=True),
    seek=seek,
)
