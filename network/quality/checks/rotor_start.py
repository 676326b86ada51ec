"""A rotor that rests in winds that still turn the others: it starts too late."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.window import Window

SPAN = 18
"""[frames] Three hours: rests closer to one another than this are not two witnesses."""


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    if "wind_speed" not in record.values or "wind_speed" not in record.expected:
        return
    own, around = record.values["wind_speed"], record.expected["wind_speed"]
    known = np.isfinite(own) & np.isfinite(around)
    turning = known & (own > thresholds["rest"])
    brisk = turning & (around >= thresholds["brisk"])
    if brisk.sum() < thresholds["fewest"]:
        return  # at rest all the time is another fault
    here = around * own[brisk].sum() / around[brisk].sum()
    resting = known & ~turning & (here > thresholds["turns_in"])
    begun = resting | (turning & (own < thresholds["faint"]) & (here > thresholds["turns_in"]))
    if np.unique(np.flatnonzero(resting) // SPAN).size < thresholds["fewest_spans"]:
        return
    # A sound rotor in a lull turns slowly; one that starts late either rests or turns fast.
    share = resting.sum() / begun.sum()
    slowest = float(np.quantile(own[turning], thresholds["slowest"]))
    starts_at = float(np.quantile(here[resting], 0.75))
    strain = min(slowest / thresholds["faint"], starts_at / thresholds["late"], share / thresholds["share"])
    first, last = np.flatnonzero(resting)[[0, -1]]
    begins_at, ends_at = int(record.seconds[first]) - FRAME, int(record.seconds[last])
    if strain > 1.0:
        error = starts_at / float(np.sqrt(resting.sum()))
        yield Finding("rotor_start", "wind_speed", begins_at, ends_at, strain, starts_at, error)


def judge(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    """Only the rests are in doubt."""
    wind = window.values.get("wind_speed")
    for found in window.findings:
        if found.check == "rotor_start" and wind is not None:
            within = (window.seconds > found.begins_at) & (window.seconds <= found.ends_at)
            resting = within & (wind <= thresholds["rest"])
            strain = np.where(resting, found.strain, np.nan)
            yield Evidence("rotor_start", "wind_speed", strain, found.size, found.size / found.strain)


CHECK = Check(
    name="rotor_start",
    bit=39,
    family="long run",
    source="common practice: small cups start at 0.3 to 1 m/s",
    thresholds={
        "rest": 0.05,  # [m/s]
        "brisk": 3.0,  # [m/s] around it: from here the rotor shows its share of that wind
        "fewest": 36.0,  # frames of brisk wind
        "turns_in": 0.8,  # [m/s] a sound rotor turns in
        "faint": 0.8,  # [m/s] between rest and this a late rotor shows nothing
        "fewest_spans": 6.0,  # spans of three hours with rests in them
        "slowest": 0.05,  # of the readings while it turned
        "late": 1.0,  # [m/s]
        "share": 0.7,
    },
    needs="expected wind over some days, calm and windy",
    meaning="The {variable} read {observed} in winds of up to about {expected}, which a sound rotor turns in.",
    advice="A worn or dirty bearing starts late. Does it turn at the least breath of air? If not, clean or change it.",
    judge=judge,
    seek=seek,
)
