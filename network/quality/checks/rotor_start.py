"""A rotor that rests in winds that still turn the others: it starts too late."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.cumulative_sum import strongest_run
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
    turning = own > thresholds["rest"]
    brisk = turning & (around >= thresholds["brisk"])
    if brisk.sum() < thresholds["fewest"]:
        return  # at rest all the time is another fault
    here = around * own[brisk].sum() / around[brisk].sum()
    light = np.isfinite(own) & (here > thresholds["turns_in"]) & (here < thresholds["turns_all"])
    starts = np.arange(0, own.size, SPAN)
    rested = np.add.reduceat(light & ~turning, starts)
    asked = np.add.reduceat(light, starts)
    spoke = np.flatnonzero(asked >= thresholds["fewest_in_span"])
    share = rested[spoke] / asked[spoke]
    evidence = np.minimum(share, thresholds["most_of_one"]) - thresholds["usual_rests"]
    _, first, last, said = strongest_run(evidence[None])
    if said <= thresholds["enough"]:
        return
    resting = np.zeros(own.shape, dtype=bool)
    resting[starts[spoke[first]] : starts[spoke[last]] + SPAN] = True
    resting &= light & ~turning
    begin, end = np.flatnonzero(resting)[[0, -1]]
    strong = np.isfinite(own[begin : end + 1]) & (here[begin : end + 1] >= thresholds["turns_all"])
    if strong.any() and turning[begin : end + 1][strong].mean() < thresholds["turns_then"]:
        return
    starts_at = float(np.quantile(here[resting], 0.75))
    yield Finding(
        "rotor_start",
        "wind_speed",
        int(record.seconds[begin]) - FRAME,
        int(record.seconds[end]),
        said / thresholds["enough"],
        starts_at,
        float(np.std(here[resting])),
    )


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
        "turns_in": 1.2,  # [m/s] a sound rotor turns in, whatever the neighbours' error
        "turns_all": 2.5,  # [m/s] beyond it a rotor at rest is stuck: another fault
        "turns_then": 0.5,  # share of the frames in such winds that a late rotor turns in
        "fewest_in_span": 6.0,
        "usual_rests": 0.2,  # share of the frames in such winds
        "most_of_one": 0.8,  # what one span of three hours may say
        "enough": 3.0,
    },
    needs="expected wind over some days, light and brisk",
    meaning="The {variable} read {observed} in winds of up to about {expected}, which a sound rotor turns in.",
    advice="A worn or dirty bearing starts late. Does it turn at the least breath of air? If not, clean or change it.",
    judge=judge,
    seek=seek,
)
