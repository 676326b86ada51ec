"""Readings that jitter far more than their instrument should."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence, laid_over
from network.quality.window import Window

STEADY = ("air_temperature", "relative_humidity", "station_pressure", "battery_voltage")
"""Wind and light jitter by nature."""

JITTER_PER_NOISE = np.sqrt(1.5)
"""Standard deviation of x - (x(-1) + x(+1)) / 2 for independent readings of standard deviation 1."""

MOST = 2.0
"""Where one reading's jitter is capped, so that a spike is not taken for noise."""


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for seen in window.together(STEADY):
        values = seen.values
        tolerance = thresholds["errors"] * np.array([window.error(name) for name in seen.names])
        jitter = np.full(values.shape, np.nan)
        jitter[:, 1:-1] = np.abs(values[:, 1:-1] - (values[:, :-2] + values[:, 2:]) / 2)
        first = rolling.since(seen.seconds, thresholds["period"])
        enough = rolling.total(np.isfinite(jitter), first) >= thresholds["fewest"]
        most = np.minimum(jitter / (tolerance[:, None] * JITTER_PER_NOISE), MOST)
        strain = np.where(enough, rolling.mean(most, first), np.nan)
        for variable, own, part in zip(seen.names, tolerance, laid_over(seen.where, strain), strict=True):
            yield Evidence("noise", variable, part, tolerance=float(own))


CHECK = Check(
    name="noise",
    bit=7,
    family="own past",
    source="common practice: mean second difference over an hour against the instrument's error",
    thresholds={"errors": 3.0, "period": 3600.0, "fewest": 6.0},
    needs="six readings within the hour",
    meaning="The {variable} jitters by more than {tolerance} from reading to reading.",
    advice="Damp in a connector or a weak supply is the usual cause. Dry and reseat the plugs.",
    judge=look,
)
