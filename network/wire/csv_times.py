"""The time column of a table: however a spreadsheet or logger wrote it, UTC epoch seconds come out."""

import re
from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from network.science.clock import to_utc
from network.wire.said import NotUnderstood, Unreadable, moment, quoted

ISO = "ISO 8601"
EPOCH = "seconds since 1970"
_EPOCH_LIKE = re.compile(r"\d{9,12}(\.\d+)?")
_DATES = ("%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%Y/%m/%d", "%d-%m-%Y", "%d.%m.%y")
_CLOCKS = ("%H:%M:%S", "%H:%M", "%I:%M:%S %p", "%I:%M %p")


def guess_format(cells: Sequence[str]) -> str:
    """The one way of writing times that fits these cells: ISO, EPOCH or a strptime format.

    Raises NotUnderstood where none fits, or where day and month could be either way round.
    """
    filled = [cell for cell in cells if cell]
    if not filled:
        raise NotUnderstood("The time column is empty.", "Choose another column for the time.")
    first = filled[0]
    if _EPOCH_LIKE.fullmatch(first):
        return EPOCH
    if _fits(first, ISO):
        return ISO
    clock = next((clock for clock in _CLOCKS if _fits(first.partition(" ")[2], clock)), None)
    days = {cell.partition(" ")[0] for cell in filled}
    dates = _best(_DATES, days)
    if clock is None or not dates:
        raise NotUnderstood(
            f"The time {quoted(first)} is written in a way that is not known here.",
            "Name its format, such as %d.%m.%Y %H:%M.",
        )
    if len(dates) > 1:
        raise NotUnderstood(
            f"In the time {quoted(first)} the day and the month could be either way round.",
            f"Name its format: {dates[0]} {clock} or {dates[1]} {clock}.",
        )
    return f"{dates[0]} {clock}"


def seconds(cells: Sequence[str], written: str, zone: ZoneInfo) -> list[int | Unreadable]:
    """Each cell as UTC epoch seconds, or why it could not be read.

    Local times are resolved together, for in the hour that clocks live through twice only their order in
    the file tells the first pass from the second.
    """
    found = [_read(cell, written) for cell in cells]
    local = [time for time in found if isinstance(time, datetime)]
    resolved = iter(to_utc(local, zone.key) if local else ())
    return [int(next(resolved)) if isinstance(time, datetime) else time for time in found]


def _read(cell: str, written: str) -> datetime | int | Unreadable:
    """A naive datetime where the cell is in local time, otherwise epoch seconds."""
    try:
        if written == EPOCH:
            return moment(float(cell))
        time = datetime.fromisoformat(cell) if written == ISO else datetime.strptime(cell, written)
        return time if time.tzinfo is None else moment(time.timestamp())
    except Unreadable as problem:
        return problem
    except ValueError:
        return Unreadable(f"its time, {quoted(cell)}, is not {written}")


def _best(formats: Sequence[str], days: set[str]) -> list[str]:
    """The formats that fit most days, if they fit at least nine in ten."""
    fitting = {form: sum(_fits(day, form) for day in days) for form in formats}
    most = max(fitting.values())
    return [form for form in formats if fitting[form] == most] if most >= 0.9 * len(days) else []


def _fits(cell: str, written: str) -> bool:
    return not isinstance(_read(cell, written), Unreadable)
