"""The tables behind the pictures."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.models.storage import Floats
from network.pipeline.ledger import blocks
from network.pipeline.records.side_by_side import Pair, SideBySide
from network.science.paired import Spread
from network.science.variables import VARIABLES
from network.science.wind import vector_mean
from network.web.compare.figures import bare, bare_difference, less
from network.web.quantities import by_format

CAPTIONS = {
    "sum": (gettext_noop("Totals of the days, {unit}"), gettext_noop("Totals of the months, {unit}")),
    "maximum": (
        gettext_noop("Means of hourly maxima of the days, {unit}"),
        gettext_noop("Means of hourly maxima of the months, {unit}"),
    ),
    "": (gettext_noop("Means of the days, {unit}"), gettext_noop("Means of the months, {unit}")),
}
"""Over days and over months, by the kind of summary."""

LONG = 62
"""[days] Beyond this the rows are months."""


@dataclass(frozen=True)
class Table:
    """Heads and rows of text; the first of each row names it."""

    caption: str
    heads: list[str]
    rows: list[list[str]]


def by_time(compared: SideBySide, unit: str) -> Table:
    """Days, or months of a long span: each station's mean or total, and how the others differ over common hours."""
    zone = compared.stations[0].village.clock
    long = len(compared.setting.begins_at) > LONG * 24
    middles = (compared.setting.begins_at + blocks.HOUR // 2).tolist()
    places: dict[date, list[int]] = {}
    for i, at in enumerate(middles):
        day = datetime.fromtimestamp(at, zone).date()
        places.setdefault(day.replace(day=1) if long else day, []).append(i)
    kind = VARIABLES[compared.variable].summary
    rows = [
        [
            by_format(day, "F Y" if long else "D j M"),
            *(bare(compared.variable, _stands(own[chosen], kind)) for own in compared.values),
            *(bare_difference(compared.variable, _stands(p.difference[chosen], kind, apart=True)) for p in compared.pairs),
        ]
        for day, chosen in places.items()
    ]  # fmt: skip
    heads = [station.name for station in compared.stations]
    differ = [less(pair.station, pair.base) for pair in compared.pairs]
    caption = _(CAPTIONS.get(kind, CAPTIONS[""])[long]).format(unit=unit)
    return Table(caption, [_("month") if long else _("day"), *heads, *differ], rows)


def by_group(spread: Spread, variable: str, names: Sequence[str], head: str, unit: str, pair: Pair) -> Table:
    """A row for each group."""
    rows = [
        [name, *(bare_difference(variable, float(one[i])) or "–" for one in (spread.lower, spread.median, spread.upper)),
         str(int(spread.size[i]))]
        for i, name in enumerate(names)
    ]  # fmt: skip
    caption = f"{less(pair.station, pair.base)}, {unit}"
    heads = [head, _("a quarter is below"), _("median"), _("a quarter is above"), _("hours")]
    return Table(caption, heads, rows)


def _stands(values: Floats, kind: str, apart: bool = False) -> float:
    """What stands for several hours; NaN where there is none."""
    known = values[np.isfinite(values)]
    if not known.size:
        return np.nan
    if kind == "sum":
        return float(known.sum())
    if kind == "direction" and not apart:
        return float(vector_mean(np.ones(known.size), known)[1])
    return float(known.mean())
