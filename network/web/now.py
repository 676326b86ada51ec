"""The station at one moment, in a sentence and a table."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from network.models import Case, Evidence
from network.pipeline.records.present import Present, Quantity
from network.quality.verdict import DOUBTFUL, WRONG, verdict_of
from network.science.rain import intensity_class
from network.science.wind import beaufort, beaufort_words
from network.web.moment import Moment
from network.web.quantities import SHAPES, amount, compass, how_long, words_of
from network.web.reasons import Why, verdict_words, whys
from network.web.station_sentence import TENDENCY_WORDS, sentence
from network.web.vocabulary import RAINS

SAID_ALREADY = frozenset(SHAPES)
"""Quantities whose reasons stand beside the readings that they were worked out from."""

ORDER = (
    "air_temperature",
    "wind_chill",
    "heat_index",
    "relative_humidity",
    "dew_point",
    "wet_bulb",
    "vapour_pressure",
    "station_pressure",
    "pressure_tendency",
    "sea_level_pressure",
    "wind_speed",
    "wind_from_direction",
    "wind_gust",
    "ten_minute_wind",
    "ten_minute_direction",
    "ten_minute_gust",
    "rain_amount",
    "rain_today",
    "rain_intensity",
)


@dataclass(frozen=True)
class ShownReading:
    """A row of the table: a quantity with its verdict and reasons."""

    name: str
    words: str
    figure: str  # with its unit
    verdict: str
    verdict_words: str
    note: str = ""
    since: datetime | None = None  # when the doubts began
    whys: list[Why] = field(default_factory=list)


@dataclass(frozen=True)
class Now:
    """The station at one moment."""

    at: datetime
    stale: str  # how old the newest reading is, when it is too old to be 'now'
    sentence: str
    readings: list[ShownReading]
    sun: str
    feels: bool  # whether a felt temperature is shown, which needs its caution


def shown_now(
    moment: Moment,
    silent_for: int,
    report_every: int,
    seen: Present,
    evidence: list[Evidence],
    cases: list[Case],
) -> Now:
    """The page's first part. ``silent_for`` the age of its newest reading [s]."""
    stale = how_long(silent_for) if silent_for > max(3 * report_every, 1800) else ""
    at = datetime.fromtimestamp(seen.at, moment.zone)
    return Now(
        at=at,
        stale=stale,
        sentence=sentence(seen, past=bool(stale) or not moment.now),
        readings=list(_rows(seen, moment, evidence, cases)),
        sun=_sun(seen),
        feels="wind_chill" in seen.quantities or "heat_index" in seen.quantities,
    )


def _rows(
    seen: Present, moment: Moment, evidence: list[Evidence], cases: list[Case]
) -> Iterator[ShownReading]:
    names = sorted(seen.quantities, key=lambda n: ORDER.index(n) if n in ORDER else len(ORDER))
    for name in names:
        one = seen.quantities[name]
        verdict, words = verdict_words(one.mark)
        reasons = [] if name in SAID_ALREADY else whys(name, one.mark, one.at, evidence)
        yield ShownReading(
            name=name,
            words=words_of(name),
            figure=_figure(one) if verdict != "missing" else "",
            verdict=verdict,
            verdict_words=words,
            note=_note(one, seen),
            since=_since(name, seen.at, cases, moment) if reasons else None,
            whys=reasons,
        )


def _figure(one: Quantity) -> str:
    sign = "+" if one.name == "pressure_tendency" and one.value > 0 else ""
    return sign + amount(one.name, one.value)


def _since(variable: str, at: int, cases: list[Case], moment: Moment) -> datetime | None:
    """When the case that the reading belongs to began."""
    began = [
        case.begins_at
        for case in cases
        if case.variable in ("", variable) and case.begins_at <= at <= case.ends_at
    ]
    return datetime.fromtimestamp(min(began), moment.zone) if began else None


def _note(one: Quantity, seen: Present) -> str:
    if np.isnan(one.value):
        return ""
    if one.name in SAID_ALREADY and verdict_of(one.mark) in (DOUBTFUL, WRONG):
        return _("from doubted readings")
    if one.name == "pressure_tendency" and seen.tendency_code is not None:
        return _(TENDENCY_WORDS[seen.tendency_code])
    if one.name == "ten_minute_wind":
        return _(str(beaufort_words(beaufort(one.value))))
    if one.name in ("wind_from_direction", "ten_minute_direction"):
        return compass(one.value)
    if one.name == "rain_intensity":
        word = str(intensity_class(one.value))
        return "" if word == "none" else _(RAINS[word])
    if one.name == "rain_today":
        return ngettext(
            "{count} report believed since midnight",
            "{count} reports believed since midnight",
            seen.rain_reports,
        ).format(count=seen.rain_reports)
    if one.name == "irradiance" and seen.clear_sky > 50:
        share = round(100 * one.value / seen.clear_sky)
        return _("{share} % of a clear sky's").format(share=share)
    return ""


def _sun(seen: Present) -> str:
    if seen.sun_elevation <= 0:
        return _("The sun is {degrees}° below the horizon.").format(degrees=round(-seen.sun_elevation))
    return _(
        "The sun stands {degrees}° high in the {side}; under a clear sky it would give about {power} W/m² on level"
        " ground."
    ).format(
        degrees=round(seen.sun_elevation),
        side=compass(seen.sun_azimuth),
        power=round(float(round(seen.clear_sky, -1))),
    )
