"""How a station has done: off its neighbours of late, its scatter as last kept, and how regularly it reports."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace

import numpy as np
from django.db.models import Count, F, Q

from network.models import Comparison, Observation, Report, Score
from network.models.comparison import DEPARTURES, ERRORS
from network.models.storage import Floats, Rows, read
from network.pipeline.ledger import blocks, work
from network.pipeline.metadata.stretches import Stretch
from network.quality.scorecard import FEWEST, Scored, from_departures
from network.quality.weight import error_in_maps
from network.science.sun import solar_position
from network.science.variables import VARIABLES

HIGH_SUN = 15.0
"""[deg] From this elevation on, sunshine warms a badly shaded thermometer (common practice)."""

LATE = 120
"""[s] After the time it speaks of and a report's interval, a report is late."""

STALE = 3 * blocks.SPELL
"""[s] A scorecard older than this says nothing of today's station."""


@dataclass(frozen=True)
class Recent:
    """One variable over the last days; medians in its canonical unit, NaN where too few."""

    scored: Scored
    by_day: float
    """Median departure while the sun stands high."""
    by_night: float
    """Median departure while it is down."""


@dataclass(frozen=True)
class Regularity:
    """How a station reported over a span."""

    share: float  # [1] of the reports due
    late: float  # [1] of those that came and say their time
    longest_silence: int  # [s]
    silent_from: int  # [UTC epoch s] when that began


def scores(station: int, begins_at: int, ends_at: int, latitude: float, longitude: float) -> list[Recent]:
    """Each variable that could be compared often enough, its random error from the scorecard kept last."""
    rows = read(Comparison, [station], begins_at, ends_at + 1, (*DEPARTURES, *ERRORS))
    if not len(rows):
        return []
    sun, _ = solar_position(rows.at, latitude, longitude)
    card = kept([station], ends_at)
    recent = []
    for name in DEPARTURES:
        departures = rows.columns[name]
        if np.isfinite(departures).sum() >= FEWEST:
            scored = from_departures(station, name, *_even(rows, name))
            if old := card.get((station, name)):
                scored = replace(
                    scored, random_error=old.random_error, low=old.low, high=old.high, method=old.method
                )
            recent.append(Recent(scored, _median(departures[sun >= HIGH_SUN]), _median(departures[sun < 0])))
    return recent


def kept(stations: Iterable[int], at: int) -> dict[tuple[int, str], Scored]:
    """The newest scorecards that stood at ``at`` [UTC epoch s], by station and variable."""
    standing = Score.objects.filter(
        station__in=list(stations), spell__lte=at - blocks.SPELL, spell__gt=at - blocks.SPELL - STALE
    )
    return {(row.station_id, row.variable): _scored(row) for row in standing.order_by("spell")}


def errors_in_maps(
    places: Iterable[Stretch], variable: str, scored: Mapping[tuple[int, str], Scored]
) -> Floats:
    """Each stretch's standard error in the maps of a variable, shape (n,), by what is stated and what was scored."""
    accuracy = VARIABLES[variable].accuracy
    return np.array(
        [
            error_in_maps(
                place.noise.get(variable, accuracy), accuracy, scored.get((place.station, variable))
            )
            for place in places
        ]
    )


def row_of(scored: Scored, spell: int) -> Score:
    """The row that keeps a score at the end of a spell."""
    figures = {one.name: getattr(scored, one.name) for one in fields(Scored) if one.name != "station"}
    known = {name: None if value != value else value for name, value in figures.items()}
    return Score(station_id=scored.station, spell=spell, **known)


def keep_scores(village: int, spell: int, stations: list[int], new: list[Score]) -> None:
    """Hold a spell's scorecards, and let the maps of the days they are used for be drawn anew where they changed."""
    old = Score.objects.filter(station__in=stations, spell=spell)
    names = [field.attname for field in Score._meta.concrete_fields]
    if sorted(old.values_list(*names)) != sorted(tuple(getattr(one, name) for name in names) for one in new):
        old.delete()
        Score.objects.bulk_create(new)
        used_from = spell + blocks.SPELL
        work.mark_maps(village, used_from, used_from + STALE)
        work.mark_learning(village, used_from - 1, used_from + STALE - blocks.SPELL - 1)


def regularity(station: int, begins_at: int, ends_at: int, report_every: int) -> Regularity | None:
    """Over the span, from its first observation on; None where there is none."""
    at = read(Observation, [station], begins_at + 1, ends_at + 1, ()).at
    if not len(at):
        return None
    due = max((ends_at - at[0]) // report_every + 1, 1)
    silences = np.diff(np.append(at, ends_at))
    longest = int(silences.argmax())
    return Regularity(
        share=min(len(at) / due, 1.0),
        late=_late(station, begins_at, ends_at, report_every),
        longest_silence=int(silences[longest]),
        silent_from=int(at[longest]),
    )


def _late(station: int, begins_at: int, ends_at: int, report_every: int) -> float:
    limit = F("last_at") + report_every + LATE
    told = Report.objects.filter(station=station, last_at__gt=begins_at, last_at__lte=ends_at).aggregate(
        all=Count("pk"), late=Count("pk", filter=Q(received_at__gt=limit))
    )
    return told["late"] / told["all"] if told["all"] else 0.0


def _even(rows: Rows, name: str) -> tuple[Floats, Floats]:
    """Departures and their errors at every frame between the first and the last, NaN where there is none."""
    place = (rows.at - rows.at[0]) // blocks.FRAME
    table = np.full((2, int(place[-1]) + 1), np.nan)
    table[:, place] = rows.columns[name], rows.columns[f"{name}_error"]
    return table[0], table[1]


def _scored(row: Score) -> Scored:
    figures: Mapping[str, float | None] = {
        one.name: getattr(row, one.name) for one in fields(Scored) if one.name != "station"
    }
    known = {name: np.nan if value is None else value for name, value in figures.items()}
    return Scored(station=row.station_id, **known)


def _median(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if len(known) >= FEWEST else np.nan
