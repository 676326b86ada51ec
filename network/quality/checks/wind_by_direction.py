"""Wind that is far weaker than the neighbours' when it comes from some directions: something shelters it."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.checks import rotor_start
from network.quality.cumulative_sum import strongest_run
from network.quality.evidence import Evidence
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.window import Bools, Floats, Window

FROM = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
"""Eight sectors, each 45 degrees about its name."""

ANY = "winds from all sides"


def _arcs() -> dict[str, tuple[int, ...]]:
    """Every run of neighbouring sectors, by the words for it."""
    arcs = {ANY: tuple(range(8))}
    for first in range(8):
        arcs[f"winds from the {FROM[first]}"] = (first,)
        for more in range(1, 7):
            words = f"winds from the {FROM[first]} round to the {FROM[(first + more) % 8]}"
            arcs[words] = tuple((first + i) % 8 for i in range(more + 1))
    return arcs


ARCS = _arcs()
SPAN = 18
"""[frames] Three hours: winds closer to one another than this are not two witnesses."""

HOUR = 6
"""[frames]"""


def sector(from_direction: Floats) -> Floats:
    """Which of ``FROM`` a wind comes from, shape of ``from_direction`` [deg]; NaN where missing."""
    return np.floor((from_direction + 22.5) / 45.0) % 8


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    if (
        not {"wind_speed", "wind_from_direction"} <= record.values.keys()
        or "wind_speed" not in record.expected
    ):
        return
    own, around = record.values["wind_speed"], record.expected["wind_speed"]
    # A rotor that stands still is another fault.
    counted = (around >= thresholds["breeze"]) & (own > thresholds["turning"])
    for late in rotor_start.CHECK.look_back(record):  # it is weak in light winds from anywhere
        counted &= (record.seconds <= late.begins_at) | (record.seconds > late.ends_at)
    where = np.where(counted, sector(record.values["wind_from_direction"]), np.nan)
    frames, mine, theirs = by_sector(where, own, around)
    known = frames.sum(axis=1) >= thresholds["known"]
    if known.sum() < thresholds["fewest_sectors"]:
        return
    ratios = ratio(mine.sum(axis=1), theirs.sum(axis=1))
    usual = float(np.quantile(ratios[known], 0.75))  # the rest may be sheltered
    strain = (1.0 - usual) / (1.0 - thresholds["sheltered_everywhere"])
    if strain > 1.0:
        yield finding(record, np.isfinite(where), ANY, usual, float(np.std(ratios[known])), strain)
        return
    shares = ratio(mine, usual * theirs)
    most = thresholds["most_of_one"]
    evidence = np.clip(thresholds["sheltered"] - shares, -most, most) * np.minimum(frames / HOUR, 1.0)
    worst, first, last, said = strongest_run(evidence)
    if said <= thresholds["enough"]:
        return
    meanwhile = ratio(mine[:, first : last + 1].sum(axis=1), usual * theirs[:, first : last + 1].sum(axis=1))
    opposite = [(worst + i) % 8 for i in range(2, 7)]
    if np.nanmedian(np.append(meanwhile[opposite], 1.0)) < thresholds["free"]:
        return  # it is weak from everywhere: not a matter of direction
    weak = meanwhile < thresholds["sheltered"]
    weak[worst] = True
    hint, arc = max(
        ((words, list(arc)) for words, arc in ARCS.items() if worst in arc and weak[list(arc)].all()),
        key=lambda words_and_arc: len(words_and_arc[1]),
    )
    inside = np.isin(where, arc)
    inside[: first * SPAN] = inside[(last + 1) * SPAN :] = False
    spread = float(np.nanstd(shares[worst, first : last + 1]))
    yield finding(record, inside, hint, float(meanwhile[worst]), spread, said / thresholds["enough"])


def by_sector(where: Floats, own: Floats, around: Floats) -> tuple[Floats, Floats, Floats]:
    """Frames, own wind and wind around, added up by sector and span: shapes (8, spans)."""
    spans = -(-where.size // SPAN)
    here = np.flatnonzero(np.isfinite(where))
    cell = where[here].astype(np.intp) * spans + here // SPAN
    parts = (np.ones(here.size), own[here], around[here])
    frames, mine, theirs = (
        np.bincount(cell, part, 8 * spans).reshape(8, spans).astype(np.float64) for part in parts
    )
    return frames, mine, theirs


def ratio(mine: Floats, theirs: Floats) -> Floats:
    """One over the other; NaN where there is nothing to go by."""
    return np.asarray(mine / np.where(theirs > 0, theirs, np.nan))


def finding(record: Record, here: Bools, hint: str, share: float, error: float, strain: float) -> Finding:
    """From the first such wind to the last."""
    first, last = np.flatnonzero(here)[[0, -1]]
    begins_at, ends_at = int(record.seconds[first]) - FRAME, int(record.seconds[last])
    return Finding("wind_by_direction", "wind_speed", begins_at, ends_at, strain, share, error, hint)


def judge(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    """Only the winds from there are in doubt; without the shelter they would be stronger by the share found."""
    wind = window.values.get("wind_speed")
    came = window.values.get("wind_from_direction")
    for found in window.findings:
        if found.check != "wind_by_direction" or wind is None or came is None:
            continue
        within = (window.seconds > found.begins_at) & (window.seconds <= found.ends_at) & np.isfinite(wind)
        blows = np.isin(sector(came), ARCS.get(found.hint, ()))
        strain = np.where(within & blows, found.strain, np.nan)
        expected = wind / found.size
        yield Evidence(
            "wind_by_direction", "wind_speed", strain, expected, (expected - wind) / found.strain, found.hint
        )


CHECK = Check(
    name="wind_by_direction",
    bit=34,
    family="long run",
    source="common practice: the ratio to the wind around, by sector of direction; cumulative sums after Page (1954),"
    " from memory",
    thresholds={
        "breeze": 1.5,  # [m/s] expected
        "turning": 0.1,  # [m/s]
        "known": 18.0,  # frames from a sector
        "fewest_sectors": 3.0,
        "sheltered": 0.6,  # share of the wind that the other sectors lead one to expect
        "most_of_one": 0.4,  # what three hours may say
        "enough": 1.2,
        "free": 0.75,  # the other sectors' share meanwhile
        "sheltered_everywhere": 0.45,  # share of the neighbours' wind
    },
    needs="wind direction, and expected wind from several sides over some days",
    meaning="The {variable} read {observed}: {hint} reach the sensor weakened, and without that it would be about {expected}.",
    advice="Is there a house, a tree or a hedge on that side? A sensor higher up or further off would tell more.",
    judge=judge,
    seek=seek,
)
