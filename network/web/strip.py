"""The village strip: a row for each station, its departures from what the neighbours lead one to expect."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from network.models import Comparison
from network.models.storage import Floats, read
from network.pipeline.ledger.blocks import FRAME, HOUR
from network.quality.verdict import GOOD, MISSING, VERDICT_WORDS
from network.science.units import sign
from network.web.quantities import by_format, decimals_of, difference_unit, hour, in_difference_unit, written
from network.web.village_now import VillageNow
from network.web.when import When

TALL = 24
"""Units from the top of a row to its bottom; across, a frame is one unit."""

DEEPEST = 4
"""The last step of the tint: so many standard errors, or more."""


@dataclass(frozen=True)
class Shade:
    """All frames of a row whose departure rounds to ``step`` standard errors."""

    step: int
    path: str


@dataclass(frozen=True)
class Spell:
    """A run of frames that are not good, by its verdict."""

    verdict: str
    begin: int
    length: int


@dataclass(frozen=True)
class Hour:
    """An hour to open a station at: its middle [UTC epoch s], and the part of a row it takes."""

    at: str
    path: str


@dataclass(frozen=True)
class StripRow:
    """One station's day."""

    pk: int
    name: str
    elevation: str
    shades: list[Shade]
    trace: str
    spells: list[Spell]
    verdict: str
    departure: str
    words: str  # the row in a sentence, for who cannot see it


@dataclass(frozen=True)
class Tick:
    """A time on the axis, in per cent across."""

    x: float
    words: str
    midnight: bool


@dataclass(frozen=True)
class Strip:
    """Everything network/_strip.html may show."""

    frames: int
    tall: int
    rows: list[StripRow]
    hours: list[Hour]
    ticks: list[Tick]
    unit: str
    chosen: int  # frames from the left to the chosen one; 0 when it is the last


def strip(now: VillageNow, variable: str) -> Strip:
    """The rows of the stations that measure the variable, highest on top."""
    at, found = departures(now, variable)
    verdicts = now.verdicts(variable)
    return Strip(
        frames=len(at),
        tall=TALL,
        rows=[_row(now, pk, variable, *pair, verdicts[pk][-len(at) :]) for pk, pair in found.items()],
        hours=list(_hours(now.when)),
        ticks=list(_ticks(now.when)),
        unit=sign(difference_unit(variable)),
        chosen=(now.when.at - now.when.begins_at) // FRAME if now.when.at < now.when.ends_at else 0,
    )


def departures(now: VillageNow, variable: str) -> tuple[NDArray[np.int64], dict[int, tuple[Floats, Floats]]]:
    """The frames of the span (t,), and each station's departure and standard error in them [canonical unit]."""
    at = now.seen.at[now.seen.at > now.when.begins_at]
    shown = [pk for pk in now.stations if now.measures(pk, variable)]
    compared = read(Comparison, shown, int(at[0]), int(at[-1]) + 1, (variable, f"{variable}_error"))
    found = {}
    for pk in shown:
        own = compared.of(pk)
        found[pk] = np.full(len(at), np.nan), np.full(len(at), np.nan)
        for values, column in zip(found[pk], (variable, f"{variable}_error"), strict=True):
            values[np.searchsorted(at, own.at)] = own.columns[column]
    return at, found


def _row(
    now: VillageNow, pk: int, variable: str, departure: Floats, error: Floats, verdict: NDArray[np.int64]
) -> StripRow:
    station = now.stations[pk]
    place = next(p for p in reversed(now.seen.places) if p.station == pk)
    hidden = station.shown == station.Shown.HIDDEN
    strength = np.where(verdict == MISSING, np.nan, departure / error)
    said = np.flatnonzero(np.isfinite(strength))
    last = f"{_signed(variable, departure[said[-1]])}" if len(said) else ""
    bad = {
        word: sum(s.length for s in _spells(verdict) if s.verdict == word) for word in VERDICT_WORDS.values()
    }
    spent = ", ".join(f"{round(n * FRAME / HOUR, 1):g} h {_(word)}" for word, n in bad.items() if n)
    return StripRow(
        pk=pk,
        name=station.name,
        elevation="" if hidden else f"{place.elevation:.0f} m",
        shades=list(_shades(strength)),
        trace=_trace(strength),
        spells=list(_spells(verdict)),
        verdict=VERDICT_WORDS[int(verdict[said[-1]])] if len(said) else "missing",
        departure=last,
        words=_("{station}: last departure {departure}").format(
            station=station.name, departure=last or _("unknown")
        )
        + (f"; {spent}" if spent else ""),
    )


def steps(strength: Floats) -> Floats:
    """Departures in whole standard errors, no further than the tint goes; NaN where unknown."""
    return np.clip(np.round(strength), -DEEPEST, DEEPEST)


def _shades(strength: Floats) -> Iterator[Shade]:
    """One path for each step of the tint, nought being bare paper."""
    step = steps(strength)
    for one in range(-DEEPEST, DEEPEST + 1):
        path = "".join(f"M{begin} 0h{end - begin}v{TALL}h{begin - end}z" for begin, end in _runs(step == one))
        if one and path:
            yield Shade(one, path)


def _trace(strength: Floats) -> str:
    """The departures as a fine line: above the middle of the row is above what was expected."""
    y = TALL / 2 - np.clip(strength, -DEEPEST, DEEPEST) * (TALL / 2 - 2) / DEEPEST
    parts = []
    for begin, end in _runs(np.isfinite(strength)):
        parts.append("M" + "L".join(f"{i + 0.5:g} {y[i]:.1f}" for i in range(begin, end)))
    return "".join(parts)


def _spells(verdict: NDArray[np.int64]) -> Iterator[Spell]:
    for code in sorted(set(verdict.tolist()) - {GOOD}):
        for begin, end in _runs(verdict == code):
            yield Spell(VERDICT_WORDS.get(code, "unchecked"), begin, end - begin)


def _runs(where: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Begin and end of each unbroken run."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], where, [False]]).astype(np.int8)))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def _signed(variable: str, departure: float) -> str:
    text = written(in_difference_unit(variable, float(departure)), decimals_of(variable))
    return text if text.startswith("−") or not text.strip("0.,") else f"+{text}"


def _hours(when: When) -> Iterator[Hour]:
    edges = [when.begins_at, *range(when.begins_at // HOUR * HOUR + HOUR, when.ends_at, HOUR), when.ends_at]
    for begin, end in pairwise(edges):
        across = (end - begin) // FRAME
        path = f"M{(begin - when.begins_at) // FRAME} 0h{across}v{TALL}h-{across}z"
        yield Hour(str((begin + end) // 2 // FRAME * FRAME), path)


def _ticks(when: When) -> Iterator[Tick]:
    """Every sixth hour of the village's clock."""
    for seconds in range(when.begins_at // HOUR * HOUR, when.ends_at + 1, HOUR):
        moment = when.local(seconds)
        if moment.minute == 0 and moment.hour % 6 == 0 and seconds >= when.begins_at:
            x = 100 * (seconds - when.begins_at) / (when.ends_at - when.begins_at)
            words = by_format(moment, "D j") if moment.hour == 0 else hour(moment)
            yield Tick(round(x, 2), words, moment.hour == 0)
