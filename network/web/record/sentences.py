"""A day, month or year in a few true sentences: pure rules, which say also what is not known."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, npgettext

from network.science.climate import Told
from network.science.constants import ZERO_CELSIUS
from network.web.quantities import RAIN_LEAST, amount, day_words, decimals_of, difference, figure, hour

ALIKE = 0.05
"""[K] Means that differ by less are told as one."""

APART = 1.5
"""[K] Stations whose means lie further apart than this make a village's mean 'about' (our choice)."""

FROST_IN_SIGHT = ZERO_CELSIUS + 5
"""[K] When it never came nearer to freezing, that there was no frost is not worth a word (our choice)."""

SLEET = ZERO_CELSIUS + 2
"""[K] Below this a gauge may be catching snow, which it does not tell as it falls (common practice)."""


@dataclass(frozen=True)
class Peak:
    """An extreme [canonical unit], when it was, and whose it is ('' on a station's own page)."""

    value: float
    at: datetime
    where: str = ""


@dataclass(frozen=True)
class Known:
    """What is known of a span. Temperatures in [K], rain in [mm]; counts are of days, of a single day of hours."""

    span: str
    kind: str  # day, month, year
    running: bool
    mean: Told
    rain: Told  # by the hour
    wet_days: Told
    frost_days: Told
    frost_hours: Told
    lowest: Peak | None = None
    highest: Peak | None = None
    before: tuple[str, float] | None = None  # the span before and its mean, where it has one
    others: tuple[float, int] | None = None  # how much warmer than the other stations, and how many those are
    spread: float = 0.0  # [K] between the stations of a village
    gauges: tuple[float, float] | None = None  # least and most that a village's complete gauges caught


def sentences(known: Known) -> list[str]:
    """Warmth, the others, its ends, rain, frost: only those that have something to say."""
    said = (warmth(known), beside(known), ends(known), rain(known), frost(known))
    return [sentence for sentence in said if sentence]


def warmth(known: Known) -> str:
    """The mean and how it compares; why there is none, where there is none."""
    mean = known.mean
    if not mean.due:
        return _("{span} has only begun: there is nothing to tell of it yet.").format(span=known.span)
    if not mean.known:
        return _("{span}: how warm it was is not known.").format(span=_so_far(known))
    figures = {"span": _so_far(known), "mean": _mean(known), "missing": mean.missing, "due": mean.due}
    if not mean.stands:
        return _(
            "{span}: too much is missing for a mean ({missing} of {due} {periods}); what is known gives {mean}."
        ).format(periods=_periods(known.kind, mean.due), **figures)
    if known.before is None:
        return _("{span}: {mean} in the mean.").format(**figures)
    name, before = known.before
    departure = mean.value - before
    figures |= {"before": name, "difference": difference("air_temperature", departure)}
    if abs(departure) < ALIKE:
        return _("{span}: {mean} in the mean, the same as {before}.").format(**figures)
    if departure < 0:
        return _("{span}: {mean} in the mean, {difference} below {before}.").format(**figures)
    return _("{span}: {mean} in the mean, {difference} above {before}.").format(**figures)


def ends(known: Known) -> str:
    """From the coldest to the warmest, and when."""
    if known.lowest is None or known.highest is None:
        return ""
    said = _("From {low} ({low_when}) to {high} ({high_when}).")
    return said.format(
        low=amount("air_temperature", known.lowest.value),
        high=amount("air_temperature", known.highest.value),
        low_when=_when(known.lowest, known.kind),
        high_when=_when(known.highest, known.kind),
    )


def beside(known: Known) -> str:
    """How the station stands to the others of the village on the same days."""
    if known.others is None:
        return ""
    departure, count = known.others
    by = difference("air_temperature", departure)
    if abs(departure) < ALIKE:
        return ngettext(
            "As warm as the one other station.", "As warm as the {count} other stations on the whole.", count
        ).format(count=count)
    if departure > 0:
        return ngettext(
            "That is {by} warmer than the one other station.",
            "That is {by} warmer than the {count} other stations on the whole.",
            count,
        ).format(by=by, count=count)
    return ngettext(
        "That is {by} colder than the one other station.",
        "That is {by} colder than the {count} other stations on the whole.",
        count,
    ).format(by=by, count=count)


def rain(known: Known) -> str:
    """What fell. Never 'no rain' while a gauge was wet; 'at least' where hours are missing."""
    told = known.rain
    if not told.due:
        return ""
    if not told.known:
        return _("How much it rained is not known.")
    missing = ngettext(
        "{missing} of {due} hour is missing", "{missing} of {due} hours are missing", told.missing
    ).format(missing=told.missing, due=told.due)
    if told.value < RAIN_LEAST:
        blind = known.lowest is None or known.lowest.value < SLEET
        if not told.stands:
            return _("No rain in the hours that are known; {missing}.").format(missing=missing)
        return _("No rain, as far as a gauge tells: it does not see snow.") if blind else _("No rain.")
    fell = _fell(known)
    days = int(known.wet_days.value) if known.wet_days.known and known.kind != "day" else 0
    if told.stands:
        if not days:
            return _("{rain} of rain.").format(rain=fell)
        return ngettext("{rain} of rain, on {days} day.", "{rain} of rain, on {days} days.", days).format(
            rain=fell, days=days
        )
    if not days:
        return _("At least {rain} of rain; {missing}.").format(rain=fell, missing=missing)
    return ngettext(
        "At least {rain} of rain, on {days} day or more; {missing}.",
        "At least {rain} of rain, on {days} days or more; {missing}.",
        days,
    ).format(rain=fell, days=days, missing=missing)


def frost(known: Known) -> str:
    """How often it froze; that it did not, only where it came near and every day is known."""
    if known.kind == "day":
        hours = int(known.frost_hours.value) if known.frost_hours.known else 0
        return (
            ngettext("Below freezing for {hours} hour.", "Below freezing for {hours} hours.", hours).format(
                hours=hours
            )
            if hours
            else ""
        )
    told = known.frost_days
    if not told.known:
        return ""
    days = int(told.value)
    if days and told.stands:
        return ngettext("Frost on {days} day.", "Frost on {days} days.", days).format(days=days)
    if days:
        return ngettext(
            "Frost on {days} day at least; {missing} of {due} days are not known.",
            "Frost on {days} days at least; {missing} of {due} days are not known.",
            days,
        ).format(days=days, missing=told.missing, due=told.due)
    near = known.lowest is not None and known.lowest.value < FROST_IN_SIGHT
    if not near:
        return ""
    return _("No frost.") if told.stands else _("No frost on the days that are known.")


def _so_far(known: Known) -> str:
    return _("{span} so far").format(span=known.span) if known.running else known.span


def _mean(known: Known) -> str:
    """'6.1 °C', or 'about 6.1 °C' where something is missing or the stations lie far apart."""
    said = amount("air_temperature", known.mean.value)
    unsure = known.mean.missing > 0 or known.spread > APART
    return _("about {amount}").format(amount=said) if unsure else said


def _fell(known: Known) -> str:
    """What fell at a station, or from the least to the most of a village's gauges."""
    if known.gauges is None:
        return amount("rain_amount", known.rain.value)
    least, most = known.gauges
    if np.isclose(least, most, atol=0.5 * 10.0 ** -decimals_of("rain_amount")):
        return amount("rain_amount", most)
    return _("{least} to {most}").format(least=figure("rain_amount", least), most=amount("rain_amount", most))


def _periods(kind: str, count: int) -> str:
    if kind == "day":
        return npgettext("missing of a mean", "hour", "hours", count)
    return npgettext("missing of a mean", "day", "days", count)


def _when(peak: Peak, kind: str) -> str:
    return ", ".join(_parts(peak, kind))


def _parts(peak: Peak, kind: str) -> Iterator[str]:
    if peak.where:
        yield peak.where
    if kind != "day":
        yield day_words(peak.at)
    yield hour(peak.at)
