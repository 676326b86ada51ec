"""A gauge that catches less or more than the gauges around it over several wet spells, or rains alone."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.cumulative_sum import strongest_run
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.rolling import Places
from network.quality.standing import standing
from network.quality.window import Bools, Floats

SHARES = {0.0: "almost nothing", 0.45: "about half", 1.5: "half as much again", 2.0: "twice as much"}
"""What a gauge may catch of what falls around it, and how to say so."""

ALONE = "rain when nobody else had any"
SPELL = 36
"""[frames] Six hours, over which rain is added up."""

CUT = -1e9
"""Evidence that no run crosses."""

HOUR = 6
"""[frames]"""


def look_back(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    if not {"rain_amount"} <= record.values.keys() & record.departures.keys():
        return
    around = np.maximum(record.expected["rain_amount"], 0.0)
    own = around + record.departures["rain_amount"]
    unlike = list(unlike_the_others(record, around, own, thresholds))
    yield from unlike
    taken = np.zeros(record.seconds.shape, dtype=bool)
    for found in unlike:
        taken |= (record.seconds > found.begins_at) & (record.seconds <= found.ends_at)
    yield from alone(record, around, ~taken, thresholds)


def unlike_the_others(
    record: Record, around: Floats, own: Floats, thresholds: Thresholds
) -> Iterator[Finding]:
    """Runs of wet spells in which the gauge caught another share than the whole.

    Each spell speaks for or against each share by how much better it fits; a run of them that says enough is
    a finding (a cumulative sum for each).
    """
    starts = np.arange(0, around.size, SPELL)
    known = np.isfinite(own)
    fell, caught, doubt = (
        np.add.reduceat(np.where(known, part, 0.0), starts) / HOUR
        for part in (around, own, record.errors["rain_amount"] ** 2)
    )
    wet = np.flatnonzero(fell >= thresholds["least_rain"])
    fell, caught, doubt = fell[wet], caught[wet], doubt[wet]
    variance = (
        thresholds["tips"] ** 2
        + (thresholds["patchiness"] * np.maximum(fell, caught)) ** 2
        + thresholds["share_of_error"] ** 2 * doubt
    )
    shares = np.array(list(SHARES))
    better = ((caught - fell) ** 2 - (caught - shares[:, None] * fell) ** 2) / variance
    better = np.clip(better, -thresholds["most_of_one"], thresholds["most_of_one"])
    # A gauge under trees catches a little less; beside gauges that are blocked a sound one catches too much.
    harder = np.select([shares == 0, shares < 1], [1.0, thresholds["too_little"]], thresholds["too_much"])
    better /= harder[:, None]
    for _ in range(int(thresholds["most_findings"])):
        which, first, last, said = strongest_run(better)
        if said <= thresholds["enough"]:
            return
        begin = starts[wet[first]]
        begin += int(np.argmax(around[begin : begin + SPELL] > 0))
        lasting = last == wet.size - 1  # nothing says that it has ended
        end = around.size if lasting else min(starts[wet[last]] + SPELL, around.size)
        inside = slice(first, last + 1)
        weights = fell[inside] / variance[inside]
        share = float((weights @ caught[inside]) / (weights @ fell[inside]))
        yield Finding(
            "catch",
            "rain_amount",
            int(record.seconds[begin]) - FRAME,
            int(record.seconds[end - 1]),
            said / thresholds["enough"],
            share,
            float((weights @ fell[inside]) ** -0.5),
            SHARES[float(shares[which])],
        )
        better[:, inside] = CUT


def alone(record: Record, around: Floats, free: Bools, thresholds: Thresholds) -> Iterator[Finding]:
    """Spells in which this gauge alone tipped: with the gusts again and again, or all in one burst."""
    rain, seconds = record.values["rain_amount"], record.seconds
    first, last = rolling.since(seconds, 2 * 3600.0), rolling.until(seconds, 2 * 3600.0)
    dry = rolling.highest(around, first, last) < thresholds["dry"]
    lone = np.where(dry & free & np.isfinite(rain), rain, 0.0)
    starts = np.arange(0, rain.size, SPELL)
    fell = np.add.reduceat(lone, starts)
    burst = np.maximum.reduceat(lone, starts)
    blown = np.zeros(starts.shape, dtype=bool)
    gust = record.values.get("wind_gust")
    if gust is not None and np.isfinite(gust).any():
        windy = gust >= max(float(np.nanquantile(gust, thresholds["windy_share"])), thresholds["windy"])
        blown = np.add.reduceat(lone * windy, starts) > 0.8 * fell
        blown &= fell >= thresholds["blown_in_all"]
        blown &= (
            length(lone > 0, starts) >= thresholds["blown_for"]
        )  # a shower that only grazed it is shorter
        blown &= blown.sum() >= thresholds["blown_spells"]
    by_hand = (burst >= thresholds["burst"]) & (burst > 0.8 * fell)
    for spell in np.flatnonzero(blown | by_hand):
        tipping = starts[spell] + np.flatnonzero(lone[starts[spell] : starts[spell] + SPELL] > 0)
        least = thresholds["burst"] if by_hand[spell] else thresholds["blown_in_all"]
        yield Finding(
            "catch",
            "rain_amount",
            int(seconds[tipping[0]]) - FRAME,
            int(seconds[tipping[-1]]),
            1.0 + float(fell[spell] / least),
            float(fell[spell]),
            record.error("rain_amount"),
            ALONE,
        )


def length(tipped: Bools, starts: Places) -> Places:
    """Frames from the first to the last in which it tipped, by spell; 0 where it never did."""
    place = np.arange(tipped.size)
    last = np.maximum.reduceat(np.where(tipped, place, -1), starts)
    first = np.minimum.reduceat(np.where(tipped, place, tipped.size), starts)
    lasted: Places = np.maximum(last - first + 1, 0)
    return lasted


CHECK = Check(
    name="catch",
    bit=33,
    family="long run",
    source="cumulative sums after Page (1954), Continuous inspection schemes, from memory; figures common practice",
    thresholds={
        "least_rain": 1.0,  # [mm] expected in six hours
        "tips": 0.3,  # [mm]
        "patchiness": 0.15,
        "share_of_error": 0.45,  # a kriging error of rain is mostly of other days
        "most_of_one": 9.0,  # what one spell may say: a cloudburst misses a gauge, two seldom do
        "enough": 12.5,
        "too_little": 1.2,  # times as much must speak for a part
        "too_much": 3.0,  # and for more than there was
        "most_findings": 3.0,
        "dry": 0.05,  # [mm] in any hour within two
        "burst": 3.0,  # [mm] in ten minutes
        "blown_in_all": 0.6,  # [mm] in six hours
        "blown_for": 9.0,  # [frames] from the first tip to the last
        "blown_spells": 2.0,
        "windy_share": 0.7,  # a gust that is high for the place
        "windy": 6.0,  # [m/s]
    },
    needs="expected rain in two wet spells; gusts, for what the wind tips",
    meaning="Beside the gauges around it this gauge caught {hint}.",
    advice="Nothing or too little: look for leaves, insects or a leak in the funnel. Too much: is the volume of a tip"
    " right? Alone: a pole that shakes, or somebody cleaning it.",
    judge=standing("catch"),
    seek=look_back,
)
