"""Numbers that do not fit their neighbours as they are, but would if they were in another unit."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Floats, Window
from network.science.units import convert, sign
from network.science.variables import VARIABLES


@dataclass(frozen=True)
class Hypothesis:
    """The numbers are in one unit, and we read them as if they were in another."""

    unit: str
    read_as: str

    def words(self) -> str:
        return f"{sign(self.unit)} (we read it as {sign(self.read_as)})"

    def mended(self, values: Floats, canonical: str) -> Floats:
        """The true values if this is so, in the catalogue's unit, shape (n,)."""
        return convert(convert(values, canonical, self.read_as), self.unit, canonical)


HYPOTHESES = {
    "air_temperature": (
        Hypothesis("[degF]", read_as="Cel"),
        Hypothesis("Cel", read_as="[degF]"),
        Hypothesis("K", read_as="Cel"),
    ),
    "station_pressure": (
        Hypothesis("[in_i'Hg]", read_as="hPa"),
        Hypothesis("mm[Hg]", read_as="hPa"),
        Hypothesis("kPa", read_as="hPa"),
        Hypothesis("Pa", read_as="hPa"),
    ),
    "wind_speed": (
        Hypothesis("[mi_i]/h", read_as="m/s"),
        Hypothesis("km/h", read_as="m/s"),
        Hypothesis("[kn_i]", read_as="m/s"),
        Hypothesis("m/s", read_as="km/h"),
        Hypothesis("m/s", read_as="[mi_i]/h"),
    ),
    "rain_amount": (Hypothesis("[in_i]", read_as="mm"), Hypothesis("mm", read_as="[in_i]")),
}
REDUCED = "a pressure already reduced to sea level"


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
        departures = np.minimum(np.abs(values - self.expected) / self.error, 1e3)
        return np.sqrt(rolling.mean(departures**2, self.first))


def comparison(window: Window, variable: str, thresholds: Thresholds) -> Comparison | None:
    """One variable beside its neighbours; None where they say nothing of it."""
    asked = "sea_level_pressure" if variable == "station_pressure" else variable
    if asked not in window.expected or not {asked, variable} <= window.values.keys():
        return None
    values, (expected, error) = window.values[variable], window.expected[asked]
    first = rolling.since(window.seconds, thresholds["period"])
    if variable == "rain_amount":  # a shower is never shared minute by minute: compare a day of it
        values, expected = rolling.total(values, first), rolling.total(expected, first)
        expected = np.where(expected >= thresholds["least_rain"], expected, np.nan)
        return Comparison(values, expected, thresholds["rain_error"] * expected, first)
    if variable == "station_pressure":  # up to the station, the way the reading was taken down
        expected = expected * window.reduction()
    return Comparison(values, expected, np.hypot(error, window.error(variable)), first)


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for variable, hypotheses in HYPOTHESES.items():
        compared = comparison(window, variable, thresholds)
        if compared is None:
            continue
        as_sent = compared.misfit(compared.values)
        known = np.isfinite(window.values[variable]) & np.isfinite(as_sent)
        known &= rolling.total(known, compared.first) >= thresholds["fewest"]
        wanting = known & (as_sent > thresholds["does_not_fit"])
        strain, hint = np.where(known, 0.0, np.nan), ""
        if wanting.any():
            mended = {h.words(): h.mended(compared.values, VARIABLES[variable].unit) for h in hypotheses}
            fits = {words: compared.misfit(values) for words, values in mended.items()}
            if variable == "station_pressure":
                at_sea_level = replace(compared, expected=window.expected["sea_level_pressure"][0])
                fits[REDUCED] = at_sea_level.misfit(compared.values)
            hint = min(fits, key=lambda words: float(fits[words][wanting].mean()))
            better = (fits[hint] < thresholds["fits"]) & (as_sent > thresholds["better"] * fits[hint])
            strain[wanting & better] = (as_sent / thresholds["does_not_fit"])[wanting & better]
        yield Evidence("unit_hypothesis", variable, strain, compared.expected, hint=hint)
        if variable == "wind_speed" and "wind_gust" in window.values:
            gust = np.where(np.isnan(window.values["wind_gust"]), np.nan, strain)
            yield Evidence("unit_hypothesis", "wind_gust", gust, hint=hint)


CHECK = Check(
    name="unit_hypothesis",
    bit=19,
    family="neighbours",
    source="common practice; factors from the unit library",
    thresholds={
        "period": 86400.0,  # [s] an hour of odd wind looks like another unit, a day of it does not
        "fewest": 36.0,
        "does_not_fit": 3.0,  # standard errors
        "fits": 1.5,  # standard errors
        "better": 2.5,  # times
        "least_rain": 5.0,  # [mm]
        "rain_error": 0.3,
    },
    needs="expected values for 36 readings of a day",
    meaning="The {variable} of {observed} does not fit the neighbours, but would if it were {hint}.",
    advice="Look at the unit of this channel: changing it there mends past and future alike.",
    judge=look,
    weight=2.0,
)
