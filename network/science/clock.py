"""Clocks: local times to UTC across the changes of summer time, ends of periods, times nobody can mean."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import ArrayLike, NDArray

EARLIEST = int(datetime(2000, 1, 1, tzinfo=UTC).timestamp())
LARGEST_LEAD = 600
"""[s] A station's clock may run ahead of ours by this much; no reading comes from before 2000."""

Local = Sequence[str | datetime] | NDArray[np.object_] | NDArray[np.str_] | NDArray[np.datetime64]


class UnknownZone(ValueError):
    """The name is not that of a time zone."""


class UnreadableTime(ValueError):
    """The text is not a time."""


def to_utc(local: Local, zone: str) -> NDArray[np.int64]:
    """UTC of local clock times.

    Parameters
    ----------
    local : sequence, shape (n,)
        ISO 8601 texts, naive datetimes or datetime64. One that carries its own offset keeps it.
    zone : str
        IANA name of the zone, such as Europe/Zurich.

    Returns
    -------
    ndarray, shape (n,)
        [s since 1970, UTC]. Where the clock shows an hour twice, the first is meant; but in a
        sequence that otherwise rises, a step back or a repetition begins the second. A time the clock
        leapt over is read on the clock that was not put forward, so 02:30 becomes 03:30 (see ``skipped``).

    Raises
    ------
    UnknownZone, UnreadableTime
    """
    first, second = _both_readings(local, zone)
    certain = first[first == second]
    in_sequence = bool((np.diff(certain) >= 0).all())
    chosen = first.copy()
    for i in np.flatnonzero(second > first):
        if in_sequence and i > 0 and first[i] <= chosen[i - 1] <= second[i]:
            chosen[i] = second[i]
    return chosen


def skipped(local: Local, zone: str) -> NDArray[np.bool_]:
    """Which local times never were, because the clock was put forward over them. Arguments as ``to_utc``."""
    first, second = _both_readings(local, zone)
    return second < first


def period_end(seconds: ArrayLike, stamp: Literal["end", "start"], period: ArrayLike) -> NDArray[np.int64]:
    """End of the periods [s] of which a device stamps the end or the start, from stamps and lengths [s].

    Raises ValueError when ``stamp`` is neither.
    """
    seconds = np.asarray(seconds, dtype=np.int64)
    if stamp == "end":
        return seconds
    if stamp == "start":
        return seconds + np.asarray(period, dtype=np.int64)
    raise ValueError(f"A device stamps the 'end' or the 'start' of its periods, not '{stamp}'.")


def plausible(seconds: ArrayLike, now: float) -> NDArray[np.bool_]:
    """Whether times [s since 1970, UTC] lie between the year 2000 and ten minutes after ``now`` [s]."""
    seconds = np.asarray(seconds, dtype=np.float64)
    return (seconds >= EARLIEST) & (seconds <= now + LARGEST_LEAD)


def _both_readings(local: Local, zone: str) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """UTC by the offset before and by the offset after a change of clock; elsewhere the two agree."""
    try:
        place = ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UnknownZone(f"'{zone}' is not a time zone: use a name such as Europe/Zurich or UTC.") from None
    times = [_read(each) for each in local]
    readings = [[_seconds(time, place, fold) for time in times] for fold in (0, 1)]
    return np.array(readings[0], dtype=np.int64), np.array(readings[1], dtype=np.int64)


def _read(time: str | datetime | np.datetime64) -> datetime:
    if isinstance(time, np.datetime64):
        time = str(time.astype("datetime64[s]"))
    try:
        return time if isinstance(time, datetime) else datetime.fromisoformat(time.strip())
    except (AttributeError, ValueError):
        raise UnreadableTime(f"'{time}' is not a time: write it as 2026-10-25T02:30.") from None


def _seconds(time: datetime, place: ZoneInfo, fold: int) -> int:
    return round((time if time.tzinfo else time.replace(tzinfo=place, fold=fold)).timestamp())
