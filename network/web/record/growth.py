"""What a span gave to what grows: degree days, frost, and what a meadow gave off; each with what it stands on."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from network.pipeline.records.record import USUAL_WIND_HEIGHT, Record, wind_height
from network.science.climate import Told
from network.web.quantities import (
    amount,
    at_least,
    in_difference_unit,
    shown_unit,
    sign_of,
    words_of,
    written,
)
from network.web.record.gathered import BASES
from stations.models import Station


@dataclass(frozen=True)
class Line:
    """A quantity: its name, its figure, what it stands on."""

    words: str
    figure: str
    note: str


@dataclass(frozen=True)
class Growth:
    """Everything ``_record_growth.html`` shows."""

    lines: list[Line]
    base: int
    bases: tuple[int, ...]


def growth(station: Station, made: Record, base: int) -> Growth:
    """The quantities that are known; evapotranspiration also when it is not, with what it lacks."""
    lines = [
        _count(_("days with frost"), made.frost_days, _("lowest temperature below freezing")),
        _count(_("days of ice"), made.ice_days, _("highest temperature below freezing")),
        _hours(made.frost_hours),
        _degree_days(made.growing, base),
        _evapotranspiration(station, made),
    ]
    return Growth([line for line in lines if line is not None], base, BASES)


def _count(words: str, told: Told, meaning: str) -> Line | None:
    if not told.known:
        return None
    return Line(words, at_least(f"{told.value:.0f}", told.stands), f"{meaning}; {_days(told)}")


def _hours(told: Told) -> Line | None:
    if not told.known:
        return None
    note = _("hours whose mean was below freezing; {known} of {due} hours known").format(
        known=told.known, due=told.due
    )
    return Line(_("hours of air frost"), at_least(f"{told.value:.0f}", told.stands), note)


def _degree_days(told: Told, base: int) -> Line | None:
    if not told.known:
        return None
    unit = sign_of(shown_unit("air_temperature"))
    value = written(in_difference_unit("air_temperature", told.value), 0)
    above = amount("air_temperature", base + 273.15)
    note = _("the middle of lowest and highest above {base}, day by day; {days}").format(
        base=above, days=_days(told)
    )
    return Line(
        _("growing degree days"),
        _("{value} {unit} days").format(value=at_least(value, told.stands), unit=unit),
        note,
    )


def _evapotranspiration(station: Station, made: Record) -> Line:
    words = _("reference evapotranspiration")
    if made.lacking:
        return Line(
            words,
            "–",
            _("cannot be worked out without {what}").format(
                what=_listed([words_of(n) for n in made.lacking])
            ),
        )
    told = made.evapotranspiration
    if not told.known:
        return Line(words, "–", _("no day is known well enough"))
    height = wind_height(station)
    assumed = (
        _(", the wind taken as measured at {height} m").format(height=f"{height:g}")
        if height == USUAL_WIND_HEIGHT
        else ""
    )
    note = _("what a well-watered meadow gives off (FAO-56 Penman-Monteith); {days}{assumed}").format(
        days=_days(told), assumed=assumed
    )
    return Line(words, at_least(amount("rain_amount", told.value), told.stands), note)


def _days(told: Told) -> str:
    if told.stands:
        return ngettext("{due} day known", "all {due} days known", told.due).format(due=told.due)
    return ngettext("{known} of {due} day known", "{known} of {due} days known", told.due).format(
        known=told.known, due=told.due
    )


def _listed(words: list[str]) -> str:
    *others, last = words
    return _("{others} and {last}").format(others=", ".join(others), last=last) if others else last
