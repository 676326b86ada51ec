"""How two stations differ by the hour of the day or by where the wind comes from: a column for each group."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, pgettext

from network.models.storage import Floats
from network.science.paired import Spread
from network.web.axes import decimals, multiples, round_step
from network.web.compare.figures import apart_in, unit_words
from network.web.quantities import written
from network.web.series_axes import Spot

TOP, BOTTOM, HEIGHT = 22.0, 172.0, 194
"""[px]"""

LEFT = 7.0
"""[%] Room for the figures of the axis."""

FEWEST = 3
"""Hours without which a column is not drawn."""

HOURS = tuple(f"{hour:02}" for hour in range(24))
SECTORS = (
    gettext_noop("N"), gettext_noop("NE"), gettext_noop("E"), gettext_noop("SE"),
    gettext_noop("S"), gettext_noop("SW"), gettext_noop("W"), gettext_noop("NW"), "calm",
)  # fmt: skip


@dataclass(frozen=True)
class Column:
    """The middle half as a bar, the median as a dot; places in per cent across and pixels down."""

    x: float
    top: float
    bottom: float
    middle: float


@dataclass(frozen=True)
class Columns:
    """Everything ``_compare_columns.html`` draws."""

    unit: str
    columns: list[Column]
    levels: list[Spot]
    names: list[Spot]
    nought: float
    height: int = HEIGHT
    top: float = TOP
    bottom: float = BOTTOM


def columns(spread: Spread, variable: str, names: Sequence[str], every: int = 1) -> Columns | None:
    """Draw the groups, naming every so manieth; None where no group has hours enough."""
    drawn = np.flatnonzero(spread.size >= FEWEST)
    if not drawn.size:
        return None
    lower, median, upper = (apart_in(variable, one) for one in (spread.lower, spread.median, spread.upper))
    low, high = min(float(lower[drawn].min()), 0.0), max(float(upper[drawn].max()), 0.0)
    room = max((high - low) * 0.06, 1e-3)
    low, high = low - room, high + room
    step = round_step((high - low) / 4)

    def y(values: Floats | float) -> Floats:
        return np.round(BOTTOM - (np.asarray(values) - low) / (high - low) * (BOTTOM - TOP), 1)

    def x(group: int) -> float:
        return round(LEFT + (100 - LEFT) * (group + 0.5) / len(names), 2)

    return Columns(
        unit=unit_words(variable),
        columns=[Column(x(i), float(y(upper[i])), float(y(lower[i])), float(y(median[i]))) for i in drawn.tolist()],
        levels=[Spot(0, float(y(value)), words=_signed(float(value), step)) for value in multiples(step, low, high)],
        names=[Spot(x(i), HEIGHT - 4, words=name) for i, name in enumerate(names) if i % every == 0],
        nought=float(y(0.0)),
    )  # fmt: skip


def sectors() -> tuple[str, ...]:
    """The sectors the wind comes from, and calms, in the reader's letters."""
    return (*(_(one) for one in SECTORS[:-1]), pgettext("sector of the wind", "calm"))


def _signed(value: float, step: float) -> str:
    text = written(value, decimals(step))
    return f"+{text}" if value > step / 2 else text
