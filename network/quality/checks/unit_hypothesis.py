"""Numbers that do not fit their neighbours as they are, but would if they were in another unit."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.hypotheses import FACTORS, HYPOTHESES, DecimalPoint, hypotheses
from network.quality.window import Floats, Window
from network.science.variables import VARIABLES

SELDOM = ("wind_speed", "rain_amount")
"""What tells about its unit only now and then."""

FAR = 1e3
"""Standard errors beyond which it does not matter how far a value is."""

REDUCED = "a pressure already reduced to sea level"


class Fit(NamedTuple):
    """How well one explanation does."""

    words: str
    misfit: Floats
    least: float
    """The misfit as sent that it takes before this is thought of."""


@dataclass(frozen=True)
class Comparison:
    """Numbers as they were sent, beside what their neighbours say they should be; arrays of shape (n,)."""

    values: Floats
    expected: Floats
    error: Floats
    first: rolling.Places
    """Where the period over which they must fit begins, for each reading."""

    def misfit(self, values: Floats) -> Floats:
        """Root mean square of the departures of ``values`` over the period, in standard errors."""
        departures = np.minimum(np.abs(values - self.expected) / self.error, FAR)
        return np.sqrt(rolling.mean(departures**2, self.first))


def comparison(window: Window, variable: str, thresholds: Thresholds) -> Comparison | None:
    """One variable beside its neighbours; None where they say nothing of it."""
    values = window.values[variable]
    period = thresholds["day"] if variable in SELDOM else thresholds["period"]
    first = rolling.since(window.seconds, period)
    if variable == "relative_humidity":
        error = np.hypot(thresholds["humidity_error"], window.error(variable))
        return Comparison(values, window.expected_humidity, np.full(values.shape, error), first)
    asked = "sea_level_pressure" if variable == "station_pressure" else variable
    if asked not in window.expected or asked not in window.values:
        return None
    expected, error = window.expected[asked]
    if variable == "rain_amount":  # a shower is never shared minute by minute: compare a day of it
        values, expected = rolling.total(values, first), rolling.total(expected, first)
        expected = np.where(expected >= thresholds["least_rain"], expected, np.nan)
        return Comparison(values, expected, thresholds["rain_error"] * expected, first)
    if variable == "station_pressure":  # up to the station, the way the reading was taken down
        expected = expected * window.reduction()
    return Comparison(values, expected, np.hypot(error, window.error(variable)), first)


def of_neighbours(window: Window, variable: str, thresholds: Thresholds) -> Evidence | None:
    """Whether the numbers would fit the neighbours in another unit; None where they say nothing of it."""
    compared = comparison(window, variable, thresholds)
    if compared is None:
        return None
    as_sent = compared.misfit(compared.values)
    known = np.isfinite(window.values[variable]) & np.isfinite(as_sent)
    known &= rolling.total(known, compared.first) >= thresholds["fewest"]
    does_not_fit = thresholds.get(variable, thresholds["does_not_fit"])
    wanting = known & (as_sent > does_not_fit)
    strain, hint = np.where(known, 0.0, np.nan), ""
    if wanting.any():
        unit = VARIABLES[variable].unit
        fits = [
            Fit(
                h.words(),
                compared.misfit(h.mended(compared.values, unit)),
                thresholds["far_off"] if isinstance(h, DecimalPoint) else does_not_fit,
            )
            for h in hypotheses(variable)
        ]
        if variable == "station_pressure":
            at_sea_level = replace(compared, expected=window.expected["sea_level_pressure"][0])
            fits.append(Fit(REDUCED, at_sea_level.misfit(compared.values), does_not_fit))
        # Against a misfit of hundreds, the offset of a barometer is nothing.
        below = np.clip(thresholds["share_left"] * as_sent, thresholds["fits"], does_not_fit)
        better = [
            wanting
            & (as_sent > fit.least)
            & (fit.misfit < below)
            & (as_sent > thresholds["better"] * fit.misfit)
            for fit in fits
        ]
        # What fits longest: while the fault is new, nothing does.
        best = max(
            range(len(fits)), key=lambda i: (better[i].sum(), -np.nan_to_num(fits[i].misfit, nan=FAR).min())
        )
        hint = fits[best].words
        strain[better[best]] = (as_sent / does_not_fit)[better[best]]
    covered = rolling.covered(strain, compared.first)
    # What came before the fault fits as it is.
    alone = np.abs(compared.values - compared.expected) <= thresholds["fits"] * compared.error
    if variable != "rain_amount":
        covered = np.where(alone & (strain != covered), strain, covered)
    covered = np.where(np.isnan(window.values[variable]), np.nan, covered)
    return Evidence("unit_hypothesis", variable, covered, compared.expected, hint=hint)


def of_tips(window: Window, thresholds: Thresholds) -> Evidence | None:
    """Whether rain comes in what a tip is in another unit: a gauge tells its own unit; None where it cannot."""
    tip = window.resolution.get("rain_amount", 0.0)
    if tip <= 0:
        return None
    rain, unit = window.values["rain_amount"], VARIABLES["rain_amount"].unit
    first = rolling.since(window.seconds, thresholds["day"])

    def off(amounts: Floats) -> Floats:
        """How far from a whole number of tips the wet readings of the day are, on average [tips]."""
        tips = np.where(rain > 0, amounts / tip, np.nan)
        return rolling.mean(np.abs(tips - np.maximum(np.round(tips), 1.0)), first)

    enough = rolling.total(rain > 0, first) >= thresholds["fewest_tips"]
    as_sent = off(rain)
    odd, strain, hint = enough & (as_sent > thresholds["no_tips"]), np.zeros(rain.shape), ""
    if odd.any():
        fits = {h.words(): off(h.mended(rain, unit)) for h in HYPOTHESES["rain_amount"]}
        hint = min(fits, key=lambda words: float(np.nan_to_num(fits[words], nan=1.0).min()))
        other = odd & (fits[hint] < thresholds["whole_tips"])
        strain = rolling.covered(np.where(other, as_sent / thresholds["no_tips"], 0.0), first)
    strain = np.where(np.isnan(rain), np.nan, np.where(rain > 0, strain, 0.0))
    return Evidence("unit_hypothesis", "rain_amount", strain, hint=hint)


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for variable in (name for name in FACTORS if name in window.values):
        tips = of_tips(window, thresholds) if variable == "rain_amount" else None
        seen = tips or of_neighbours(window, variable, thresholds)
        if seen is None:
            continue
        yield seen
        if variable == "wind_speed" and "wind_gust" in window.values:
            gust = np.where(np.isnan(window.values["wind_gust"]), np.nan, seen.strain)
            yield Evidence("unit_hypothesis", "wind_gust", gust, hint=seen.hint)


CHECK = Check(
    name="unit_hypothesis",
    bit=19,
    family="neighbours",
    source="common practice; factors from the unit library",
    thresholds={
        "period": 21600.0,  # [s]
        "day": 86400.0,  # [s] an hour of odd wind looks like another unit, a day of it does not
        "fewest": 36.0,
        "does_not_fit": 3.0,  # standard errors
        "far_off": 8.0,  # the same, before a decimal point is thought of: near zero it moves little
        "wind_speed": 2.0,  # the same, of a day of wind
        "humidity_error": 0.08,  # [1] of what the neighbours' dew point and temperature say together
        "fits": 1.5,  # standard errors
        "better": 2.5,  # times
        "share_left": 0.05,  # of a great misfit
        "least_rain": 5.0,  # [mm]
        "fewest_tips": 3.0,  # wet readings in a day
        "no_tips": 0.25,  # tips that amounts are off whole ones, on average
        "whole_tips": 0.08,
        "rain_error": 0.3,
    },
    needs="expected values for 36 readings; for inches of rain, the volume of a tip",
    meaning="The {variable} of {observed} does not fit the neighbours, but would if it were {hint}.",
    advice="Look at the unit of this channel: changing it there mends past and future alike.",
    judge=look,
    weight=2.0,
)
