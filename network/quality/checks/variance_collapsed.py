"""A value that moves far less than its neighbours' do: damped or filtered, though not stuck."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Bools, Floats, Window

ASKED = ("air_temperature", "sea_level_pressure")
"""What moves alike over a village. Winds, rain and, where a storm passes one end of it, humidity do not."""

SENSOR = {"sea_level_pressure": "station_pressure"}
"""Whose fault it is that a derived variable does not move."""


def moments(series: Floats, known: Bools) -> Floats:
    """What is added up of two ``series`` (2, n), own and expected: the count, each value and its square, (5, n)."""
    centred = np.where(known, series - series[:, known].mean(axis=1, keepdims=True), 0.0)
    return np.concatenate([known[None], centred, centred**2])


def deviations(added: Floats, first: rolling.Places, last: rolling.Places | None = None) -> Floats:
    """Standard deviations of the known values of each period, own and expected, (2, n); NaN where none is known."""
    sums = rolling.total(added, first, last)
    count = np.where(sums[0] > 0, sums[0], np.nan)
    return np.sqrt(np.maximum(sums[3:] / count - (sums[1:3] / count) ** 2, 0.0))


def moves_with_them(window: Window, added: Floats, thresholds: Thresholds) -> Bools:
    """Where it moved as they did in the hours about each reading: what came before the fault is sound."""
    near = thresholds["near"] / 2
    own, theirs = deviations(added, rolling.since(window.seconds, near), rolling.until(window.seconds, near))
    together: Bools = own > thresholds["in_each_half"] * theirs
    return together


def throughout(window: Window, added: Floats, thresholds: Thresholds) -> Bools:
    """Where it moved too little in each half of the period: else half of it was sound, or only rested."""
    half = rolling.since(window.seconds, thresholds["period"] / 2)
    own, theirs = deviations(added, half)
    little = own <= thresholds["in_each_half"] * theirs
    both: Bools = little & little[np.maximum(half - 1, 0)]
    return both


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    first = rolling.since(window.seconds, thresholds["period"])
    whole = rolling.filled(window.seconds, first, thresholds["period"], window.report_every)
    for variable in ASKED:
        if variable not in window.values or variable not in window.expected:
            continue
        values, (expected, error) = window.values[variable], window.expected[variable]
        known = np.isfinite(values) & np.isfinite(expected) & window.possible[variable]
        told = whole & (
            rolling.total(known, first) >= thresholds["share_known"] * (np.arange(known.size) - first + 1)
        )
        if not told.any():
            continue
        added = moments(np.stack([values, expected]), known)
        own, theirs = deviations(added, first)
        # What the neighbours' error and the station's place may take away from it, and what one step hides.
        certain = theirs - thresholds["errors"] * np.sqrt(rolling.mean(error**2, first))
        ratio = np.maximum(certain, 0.0) / np.maximum(own, thresholds["least"] * window.error(variable))
        told &= throughout(window, added, thresholds)
        strain = np.where(told, ratio / thresholds["times"], 0.0)
        strain = np.where(whole, rolling.covered(strain, first), np.nan)
        strain = np.where(moves_with_them(window, added, thresholds), 0.0, strain)
        about = SENSOR.get(variable, variable)
        if about in window.values:
            strain = np.where(np.isnan(window.values[about]), np.nan, strain)
            yield Evidence("variance_collapsed", about, strain)


CHECK = Check(
    name="variance_collapsed",
    bit=35,
    family="neighbours",
    source="common practice: standard deviation of half a day against that of the expected values",
    thresholds={
        "period": 43200.0,  # [s]
        "share_known": 0.8,
        "errors": 1.0,  # standard errors of what is expected, taken off its deviation
        "least": 0.1,  # of the standard error
        "times": 4.0,
        "in_each_half": 0.6,  # of the neighbours' deviation
        "near": 10800.0,  # [s]
    },
    needs="expected values for half a day in which the weather moves",
    meaning="The {variable} of {observed} hardly follows the weather: the neighbours' moved several times as much.",
    advice="A sensor in a closed box, in a wall's lee or behind a filter in its program does this. Does air reach it?",
    judge=look,
)
