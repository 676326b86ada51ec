"""Stations side by side as CSV: an hour a line, with the wind, the light and the occasions that were told."""

import csv
from collections.abc import Iterator
from datetime import UTC, datetime
from io import StringIO

import numpy as np
from django.utils.text import slugify

from network.pipeline.records.side_by_side import SideBySide
from network.science.units import convert
from network.science.variables import VARIABLES
from network.web.compare.asked import Asked
from network.web.download import safe


def name_of(question: Asked) -> str:
    """The file's name."""
    stations = "-".join(slugify(one.name) for one in question.stations) or "stations"
    return f"{stations}-{question.variable.replace('_', '-')}-{question.first}-{question.last}.csv"


def csv_of(compared: SideBySide) -> str:
    """The whole file, in the units of files, which no reader changes."""
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(_heads(compared))
    writer.writerows(_lines(compared))
    return text.getvalue()


def _heads(compared: SideBySide) -> list[str]:
    unit = VARIABLES[compared.variable].shown_unit
    return [
        "hour_begins_at (UTC)",
        "hour_begins_at (village)",
        *(safe(f"{one.name} {compared.variable} [{unit}]") for one in compared.stations),
        *(safe(f"{pair.station} less {pair.base} [{unit}]") for pair in compared.pairs),
        "wind_speed at 10 m [m/s]",
        "wind_from_direction [deg]",
        "light of a clear sky's [1]",
        "sun_elevation [deg]",
        "occasion",
    ]


def _lines(compared: SideBySide) -> Iterator[list[str]]:
    entry, around = VARIABLES[compared.variable], compared.setting
    zone = compared.stations[0].village.clock
    nought = float(convert(0.0, entry.unit, entry.shown_unit))
    values = convert(compared.values, entry.unit, entry.shown_unit)
    differences = [convert(pair.difference, entry.unit, entry.shown_unit) - nought for pair in compared.pairs]
    places = entry.decimals + 2
    night, afternoon = (
        np.append(one.meant, False)[one.group] for one in (compared.nights, compared.afternoons)
    )
    for i, at in enumerate(around.begins_at.tolist()):
        yield [
            f"{datetime.fromtimestamp(at, UTC):%Y-%m-%dT%H:%M:%SZ}",
            f"{datetime.fromtimestamp(at, zone):%Y-%m-%dT%H:%M}",
            *(_text(own[i], places) for own in (*values, *differences)),
            _text(around.wind[i], 2),
            _text(around.from_direction[i], 0),
            _text(around.light[i], 3),
            _text(around.sun[i], 2),
            "clear calm night" if night[i] else "sunny afternoon" if afternoon[i] else "",
        ]


def _text(value: float, places: int) -> str:
    return "" if np.isnan(value) else f"{value:.{places}f}"
