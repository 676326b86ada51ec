"""The table under the map: every station's last readings, each with its verdict."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.quality.verdict import DOUBTFUL, GOOD, MISSING, WRONG
from network.science.variables import VARIABLES
from network.web.quantities import compass, figure, unit_sign
from network.web.reasons import verdict_words
from network.web.village_now import Reading, VillageNow
from stations.models import Station

COLUMNS = (
    "air_temperature",
    "relative_humidity",
    "wind_speed",
    "wind_from_direction",
    "wind_gust",
    "rain_amount",
    "sea_level_pressure",
)
HEADS = {"rain_amount": gettext_noop("rain since midnight")}


@dataclass(frozen=True)
class Cell:
    """A figure and its verdict; a word where there is no figure."""

    figure: str
    verdict: str  # '' where the station does not measure it
    words: str


@dataclass(frozen=True)
class Row:
    """One station."""

    pk: int
    name: str
    elevation: str
    cells: list[Cell]
    verdicts: list[tuple[str, str]]  # (mark, words) of what is not good


@dataclass(frozen=True)
class Table:
    """Everything network/_table.html may show."""

    heads: list[tuple[str, str]]  # (name, unit)
    rows: list[Row]


def table(now: VillageNow) -> Table:
    """All stations of the page, highest first."""
    heads = [(_(HEADS.get(name, VARIABLES[name].short)), _unit(name)) for name in COLUMNS]
    return Table(heads, [_row(now, pk) for pk in now.stations])


def _unit(name: str) -> str:
    return "" if name == "wind_from_direction" else unit_sign(name)


def _row(now: VillageNow, pk: int) -> Row:
    station = now.stations[pk]
    readings = {name: now.last(pk, name) for name in COLUMNS if now.measures(pk, name)}
    hidden = station.shown == Station.Shown.HIDDEN or pk not in now.here
    return Row(
        pk=pk,
        name=station.name,
        elevation="" if hidden else f"{now.here[pk][0].elevation:.0f}",
        cells=[_cell(now, pk, name, readings.get(name)) for name in COLUMNS],
        verdicts=list(_verdicts(readings, now.clock_doubted(pk))),
    )


def _cell(now: VillageNow, pk: int, name: str, reading: Reading | None) -> Cell:
    if reading is None:
        return Cell("", "", _("not measured"))
    verdict, words = verdict_words(reading.mark)
    if name == "rain_amount":
        gauge = now.gauges.get(pk)
        value = gauge.today if gauge is not None else np.nan
        return Cell(figure(name, value), verdict, words)
    if name == "wind_from_direction":
        return Cell(
            "" if np.isnan(reading.value) else compass(reading.value), _calm(now, pk) or verdict, words
        )
    return Cell(figure(name, reading.value), verdict, words)


def _calm(now: VillageNow, pk: int) -> str:
    """A calm comes from nowhere: that its direction is missing is as it should be."""
    return "good" if now.last(pk, "wind_speed").value == 0.0 else ""


def _verdicts(readings: dict[str, Reading], clock_doubted: bool) -> Iterator[tuple[str, str]]:
    """What is not good, in a word for each verdict: 'wrong: temperature, humidity'."""
    if readings and all(reading.verdict == MISSING for reading in readings.values()):
        yield ("doubtful", _("its clock is in doubt")) if clock_doubted else ("missing", _("no report"))
        return
    others = {name: one for name, one in readings.items() if name != "wind_from_direction"}
    for verdict in (WRONG, DOUBTFUL):
        names = [_(VARIABLES[name].short) for name, one in others.items() if one.verdict == verdict]
        if names:
            word = verdict_words(verdict)[0]
            yield word, f"{_(word)}: {', '.join(names)}"
    rest = {one.verdict for one in others.values()} - {WRONG, DOUBTFUL, MISSING, GOOD}
    if rest:
        yield "unchecked", _("not yet checked")
