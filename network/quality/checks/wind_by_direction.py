"""Wind that is far weaker than the neighbours' when it comes from some directions: something shelters it."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
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

FEWEST = 4
"""Spans from which a spread means something."""


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
    where = np.where(counted, sector(record.values["wind_from_direction"]), np.nan)
    ratios, errors = by_sector(where, own, around)
    known = errors < thresholds["known"]
    if known.sum() >= thresholds["sectors_for_all"]:
        share, error = float(np.median(ratios[known])), float(np.median(errors[known]))
        strain = (1.0 - share) / (1.0 - thresholds["sheltered_everywhere"])
        if strain > 1.0:
            yield finding(record, np.isfinite(where), ANY, share, error, strain)
            return
    shares, errors = against_the_others(ratios, errors, known, int(thresholds["fewest_others"]))
    strains = (1.0 - shares) / (1.0 - thresholds["sheltered"])
    weakened = (strains > 1.0) & (1.0 - shares >= thresholds["errors"] * errors)
    if not weakened.any():
        return
    arc = max((arc for arc in ARCS.items() if weakened[list(arc[1])].all()), key=lambda arc: len(arc[1]))
    hint, inside = arc[0], list(arc[1])
    most = inside[int(np.argmax(strains[inside]))]
    yield finding(
        record, np.isin(where, inside), hint, float(shares[most]), float(errors[most]), float(strains[most])
    )


def against_the_others(ratios: Floats, errors: Floats, known: Bools, fewest: int) -> tuple[Floats, Floats]:
    """Each sector's ratio as a share of the others', and its standard error: shapes (8,), NaN where unknown.

    The winds beside a sector may be half sheltered too, so it is held against the rest.
    """
    shares, share_errors = np.full(8, np.nan), np.full(8, np.nan)
    for i in np.flatnonzero(known):
        others = known.copy()
        others[[i - 1, i, (i + 1) % 8]] = False
        if others.sum() >= fewest:
            usual = np.quantile(ratios[others], 0.75)  # of which some may be sheltered as well
            shares[i], share_errors[i] = ratios[i] / usual, errors[i] / usual
    return shares, share_errors


def by_sector(where: Floats, own: Floats, around: Floats) -> tuple[Floats, Floats]:
    """Own wind over the wind around, by sector, and its standard error: shapes (8,); infinite where unknown."""
    spans = np.arange(own.size) // SPAN
    ratios, errors = np.full(8, np.nan), np.full(8, np.inf)
    for i in range(8):
        here = np.flatnonzero(where == i)
        _, each = np.unique(spans[here], return_inverse=True)
        mine, theirs = np.bincount(each, own[here]), np.bincount(each, around[here])
        if mine.size >= FEWEST:
            ratios[i] = mine.sum() / theirs.sum()
            spread = np.sum((mine - ratios[i] * theirs) ** 2) * mine.size / (mine.size - 1)
            errors[i] = np.sqrt(spread) / theirs.sum()
    return ratios, errors


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
    source="common practice: the ratio to the wind around, by sector of direction",
    thresholds={
        "breeze": 1.5,  # [m/s] expected
        "turning": 0.1,  # [m/s]
        "known": 0.1,  # standard error of a ratio that tells
        "sheltered": 0.55,  # share of the wind that the other sectors lead one to expect
        "sheltered_everywhere": 0.45,  # share of the neighbours' wind
        "sectors_for_all": 4.0,
        "fewest_others": 2.0,
        "errors": 6.0,
    },
    needs="wind direction, and expected wind from several sides over some days",
    meaning="The {variable} read {observed}: {hint} reach the sensor weakened, and without that it would be about {expected}.",
    advice="Is there a house, a tree or a hedge on that side? A sensor higher up or further off would tell more.",
    judge=judge,
    seek=seek,
)
