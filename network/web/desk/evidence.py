"""What is known of a case: what each check saw, its departures day by day, and where and with what it was measured."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import Max, Min

from network.models import Case, Evidence, Observation
from network.pipeline.cases.faults import readings_by_check
from network.pipeline.ledger import blocks
from network.pipeline.neighbours.departures import STANDS_FOR, Departures
from network.pipeline.neighbours.scorecard import scores
from network.pipeline.telling.power import power
from network.pipeline.telling.power_words import end, state
from network.quality.checks import check_named
from network.quality.verdict import DERIVED_FROM, VERDICT_WORDS
from network.science.calibration import KINDS
from network.science.units import sign
from network.science.variables import VARIABLES
from network.web.desk.figures import signed
from network.web.history import describe
from network.web.opinion import DAYS, judge
from network.web.place import CLASSES
from network.web.quantities import amount, difference
from network.web.reasons import sentence
from stations.models import Calibration, Station
from stations.models.period import Period


@dataclass(frozen=True)
class Spoke:
    """One check's whole word on the case."""

    name: str
    family: str
    sentence: str
    source: str
    verdict: str
    readings: int
    since: datetime
    until: datetime
    times: str  # how far beyond what it allows


@dataclass(frozen=True)
class DepartureDay:
    """A village day of departures."""

    day: str
    median: str
    error: str
    fitting: str
    after: str  # the median as it would be; '' where the proposal mends nothing


@dataclass(frozen=True)
class Fact:
    """Something on record that bears on the case."""

    name: str
    words: str


def what_each_check_saw(evidence: list[Evidence], zone: ZoneInfo) -> list[Spoke]:
    """By check, the one that spoke of most readings first."""
    by_check: dict[str, list[Evidence]] = {}
    for one in evidence:
        by_check.setdefault(one.check_name, []).append(one)
    spoke = [_spoke(name, runs, zone) for name, runs in by_check.items()]
    return sorted(spoke, key=lambda one: -one.readings)


def _spoke(name: str, runs: list[Evidence], zone: ZoneInfo) -> Spoke:
    worst = max(runs, key=lambda one: one.strain)
    check = check_named(name)
    return Spoke(
        name=name.replace("_", " "),
        family=check.family,
        sentence=sentence(worst),
        source=check.source[:1].upper() + check.source[1:],
        verdict=VERDICT_WORDS[max(one.verdict for one in runs)],
        readings=readings_by_check(runs)[name],
        since=datetime.fromtimestamp(min(one.begins_at for one in runs), zone),
        until=datetime.fromtimestamp(max(one.ends_at for one in runs), zone),
        times="" if check.decisive else f"up to {worst.strain:.1f} times what it allows",
    )


def departures_by_day(
    departures: Departures | None, after: Departures | None, zone: ZoneInfo
) -> list[DepartureDay]:
    """The median of each village day beside the standard error, and as it would be after a decision, newest last."""
    if departures is None:
        return []
    days = _days(departures, zone)
    mended = {} if after is None else _medians(after, _days(after, zone))
    return [_day(departures, days == day, day, mended.get(day, "")) for day in np.unique(days).tolist()]


def _days(departures: Departures, zone: ZoneInfo) -> np.ndarray:
    """The village day of each frame, as an ordinal."""
    at = departures.at.tolist()
    return np.array([datetime.fromtimestamp(one - 1, zone).date().toordinal() for one in at], int)


def _medians(departures: Departures, days: np.ndarray) -> dict[int, str]:
    return {
        day: signed(departures.variable, float(np.median(departures.departure[days == day])))
        for day in np.unique(days).tolist()
    }


def _day(departures: Departures, held: np.ndarray, ordinal: int, after: str) -> DepartureDay:
    name, found = departures.variable, departures.departure[held]
    median, error = float(np.median(found)), float(np.median(departures.error[held]))
    fitting = int(np.sum(np.abs(found) <= 3 * departures.error[held]))
    day = datetime.fromordinal(ordinal)
    return DepartureDay(
        day=f"{day:%a} {day.day} {day:%b}",
        median=signed(name, median),
        error=f"±{difference(name, error)}",
        fitting=f"{fitting} of {len(found)}",
        after=after,
    )


def on_record(case: Case, station: Station, zone: ZoneInfo) -> list[Fact]:
    """Siting, instrument, channel, calibrations and power as of the case's end."""
    at = datetime.fromtimestamp(case.ends_at, zone)
    facts = []
    for name in DERIVED_FROM.get(case.variable, (case.variable,)) if case.variable else ():
        facts += _of_variable(station, name, at)
    facts += _scorecard(case, station)
    return [*facts, Fact("Clock", _clock(station, at)), Fact("Power", _power(case, station))]


def _clock(station: Station, at: datetime) -> str:
    held = [one for one in station.clocks.all() if _held(one, at)]
    if not held:
        return "Its times are taken as they come, in UTC or with their offset."
    one = held[-1]
    off = f"{abs(one.fast_by) / 60:g} minutes {'ahead' if one.fast_by > 0 else 'behind'}, which is made good"
    return f"Read in the zone {one.zone}{f'; known to be {off}' if one.fast_by else ''}."


def _scorecard(case: Case, station: Station) -> Iterator[Fact]:
    """How the variable, or of a station itself each, did over the week up to the case's end."""
    compared = STANDS_FOR.get(case.variable, case.variable)
    week = case.ends_at - DAYS * blocks.DAY
    for recent in scores(station.pk, week, case.ends_at, *station.village.centre):
        if not case.variable or recent.scored.variable == compared:
            judgement = judge(recent)
            yield Fact("Scorecard", f"Beside its neighbours, its {judgement.words} {judgement.sentence}.")


def _of_variable(station: Station, name: str, at: datetime) -> list[Fact]:
    words = VARIABLES[name].words
    notes = [
        note
        for place in station.placements.all()
        if _held(place, at)
        for note in place.siting_notes.all()
        if note.variable == name
    ]
    siting = f"{CLASSES.get(notes[-1].siting_class, 'class not known')}. {notes[-1].words}" if notes else ""
    facts = [Fact(f"Siting for {words}", siting or "Nobody has described it yet.")]
    for instrument in station.instruments.all():
        if instrument.variable == name and _held(instrument, at):
            facts.append(Fact("Instrument", f"{describe(instrument)}."))
    for channel in station.channels.all():
        if channel.instrument.variable == name and _held(channel, at):
            facts.append(Fact("Channel", f"‘{channel.name}’, read as {_sign(channel.unit)}."))
            made = [one for one in channel.calibrations.all() if one.begins_at <= at]
            facts.append(Fact("Calibration", _calibration(made[-1]) if made else "None: taken as sent."))
    return facts


def _held(period: Period, at: datetime) -> bool:
    return period.begins_at <= at and (period.ends_at is None or at < period.ends_at)


def _sign(unit: str) -> str:
    try:
        return sign(unit)
    except ValueError:
        return unit


def _calibration(made: Calibration) -> str:
    figures = ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in made.parameters.items())
    why = f" ({made.reason})" if made.reason else ""
    return f"{KINDS[made.kind].words.capitalize()}: {figures}, from {made.begins_at:%-d %B %Y} on{why}."


def _power(case: Case, station: Station) -> str:
    during = Observation.objects.filter(
        station=station, observed_at__gte=case.begins_at, observed_at__lte=case.ends_at
    ).aggregate(low=Min("battery_voltage"), high=Max("battery_voltage"))
    if during["low"] is None:
        return "It does not report its battery."
    span = f"Battery between {amount('battery_voltage', during['low'])} and {amount('battery_voltage', during['high'])}."
    known = power(station, case.ends_at)
    return " ".join([span, end(known), state(known)]) if known else span
