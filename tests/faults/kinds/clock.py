"""Clocks that are wrong: every reading of the station carries a false time.

It can be seen where something moves: the sun between clouds (an hour above 300 W/m2 on two days at least).
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from tests.faults.kind import EVERYTHING, Inject, Kind, all_within
from tests.faults.said import Bools, Floats, Said

ZONE = ZoneInfo("Europe/Zurich")
REASONS = frozenset({"clock"})
ALSO = frozenset({"repeated", "departure", "step", "spike", "light_at_night", "light_above_clear_sky"})


def wrong_by(said: Said, where: Bools, fast: Floats) -> Said:
    """The board's clock ahead by so many seconds (t,) within the span."""
    return replace(said, told=np.where(where, said.seconds + np.round(fast).astype(np.int64), said.told))


def by(least: float, most: float) -> Inject:
    """Fast or slow by one amount [s]."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        fast = random.uniform(least, most) * random.choice([-1.0, 1.0])
        return wrong_by(said, where, np.full(where.size, fast))

    return inject


def running(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Four to six minutes more every day."""
    days = (said.seconds - said.seconds[np.argmax(where)]) / 86400.0
    return wrong_by(said, where, random.uniform(240.0, 360.0) * random.choice([-1.0, 1.0]) * days)


def daylight_saving(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """From the Sunday on which the clocks change, the board goes by the new hour and thinks it the old one."""
    change = changes(said)
    if change is None or not where[change]:
        return said
    after = where & (np.arange(where.size) >= change)
    forward = _offset(int(said.seconds[-1])) > _offset(int(said.seconds[0]))
    return wrong_by(said, after, np.full(where.size, 3600.0 if forward else -3600.0))


def changes(said: Said) -> int | None:
    """The first report after the clocks change, if they do."""
    offsets = np.array([_offset(int(at)) for at in said.seconds[::12]])
    moved = np.flatnonzero(np.diff(offsets))
    return int(moved[0] * 12 + 12) if moved.size else None


def _offset(at: int) -> timedelta:
    return datetime.fromtimestamp(at, UTC).astimezone(ZONE).utcoffset() or timedelta()


def slipped(honest: Said, said: Said, where: Bools, variable: str) -> Bools:
    """Every reading with a false time."""
    return all_within(honest, said, where & (said.told != said.seconds), variable)


def something_moves(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether the sun shone on two days of it."""
    bright = affected & (honest.truth["irradiance"] > 300.0)
    _, often = np.unique(said.seconds[bright] // 86400, return_counts=True)
    return int((often >= 12).sum()) >= 2


def after_three_days(honest: Said, said: Said, affected: Bools) -> int:
    """The report three days after it began."""
    return min(int(np.argmax(affected)) + 3 * 288, len(affected) - 1)


def _kind(
    name: str, lasting: tuple[float, float], inject: Inject, right=REASONS, season: str = "1234", by=None
) -> Kind:
    return Kind(
        name,
        EVERYTHING,
        lasting,
        inject,
        right,
        ALSO,
        affects=slipped,
        visible=something_moves,
        season=season,
        by=by,
    )


KINDS = (
    _kind("clock wrong by an hour", (3.5, 4.5), by(3600.0, 3600.0), by=after_three_days),
    _kind("clock wrong by minutes", (6.0, 7.5), by(900.0, 1800.0)),
    _kind("clock drifting", (7.0, 8.0), running),
    _kind("daylight-saving slip", (3.5, 5.0), daylight_saving, REASONS | {"repeated"}, season="24"),
)
