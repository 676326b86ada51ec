"""The isolines of a map as GeoJSON."""

import itertools
import json
from typing import Any

import numpy as np
from contourpy import contour_generator

from network.models.storage import Floats
from network.web.axes import decimals, multiples
from network.web.map_files.sheet import Sheet

DECIMALS = 6
"""Of a degree: a tenth of a metre."""


def geojson(sheet: Sheet) -> bytes:
    """A line for each piece of an isoline, with its value, and whether it is known or a guess.

    Source: RFC 7946; longitude first, WGS 84.
    """
    values, step = sheet.usual(sheet.value), sheet.step
    generator = contour_generator(sheet.longitude, sheet.latitude, values)
    features = []
    for level in multiples(step, float(values.min()), float(values.max())):
        if sheet.variable.summary == "sum" and level <= 0:
            continue  # the edge of the rain is no amount
        for line in generator.lines(float(level)):
            features += [_feature(sheet, float(level), step, *piece) for piece in _pieces(sheet, line)]
    said = {
        "type": "FeatureCollection",
        "title": f"{sheet.variable.words.capitalize()} in {sheet.village.name}",
        "date": sheet.moment.isoformat(),
        "source": sheet.source,
        "credit": sheet.credit,
        "caution": sheet.warning,
        "bbox": [sheet.village.west, sheet.village.south, sheet.village.east, sheet.village.north],
        "features": features,
    }
    return json.dumps(said, ensure_ascii=False).encode()


def _feature(sheet: Sheet, level: float, step: float, guessed: bool, line: Floats) -> dict[str, Any]:
    return {
        "type": "Feature",
        "properties": {
            "variable": sheet.variable.name,
            "value": round(level, decimals(step)),
            "unit": sheet.variable.shown_unit,
            "date": sheet.moment.isoformat(),
            "known": not guessed,
        },
        "geometry": {"type": "LineString", "coordinates": line.round(DECIMALS).tolist()},
    }


def _pieces(sheet: Sheet, line: Floats) -> list[tuple[bool, Floats]]:
    """A line cut where it changes between known and guessed; pieces share their ends."""
    column = np.abs(sheet.longitude[:, None] - line[:, 0]).argmin(axis=0)
    row = np.abs(sheet.latitude[:, None] - line[:, 1]).argmin(axis=0)
    guessed = sheet.guessed[row, column]
    cuts = [0, *(np.flatnonzero(np.diff(guessed)) + 1), len(line)]
    pieces = [(bool(guessed[a]), line[a : b + 1]) for a, b in itertools.pairwise(cuts)]
    return [(doubt, piece) for doubt, piece in pieces if len(piece) > 1]
