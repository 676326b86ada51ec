"""Two days of one variable's maps as a browser gets them: mixed pictures, the stations' marks, and the words."""

import gzip
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from network.models import VillageMap
from network.models.storage import Floats
from network.pipeline.ledger.blocks import FRAME, HOUR
from network.pipeline.maps.map import estimate, village_grid
from network.quality.verdict import VERDICT_WORDS
from network.science.variables import VARIABLES
from network.science.wind import beaufort
from network.spatial.distance import from_local_plane
from network.spatial.mixture import mixture
from network.spatial.sites import Grid
from network.spatial.village import Map, TooFew, WindMap
from network.web import village_map_picture as draw
from network.web.map_words import doubt_words, shown_difference, standing_words, title, trusted
from network.web.maps.packed import eastward_steps, pack
from network.web.maps.stations import stations
from network.web.phrases import phrase
from network.web.quantities import decimals_of, in_shown_unit, shown_unit, unit_sign
from network.web.reader import BEAUFORT
from network.web.village_now import VillageNow

SPAN = 48 * HOUR

ROWS = (72, 54, 40, 30)
"""Cells of these maps from south to north: as many as fit."""

MOST = 250_000
"""[bytes] How much of a page's maps may be sent, compressed as it is sent."""

TOLERANCE = 0.2
"""How far a cell may be off, in units of the last figure shown."""

CHANCE_TOLERANCE = 0.02
"""How far a chance may be off: its edge between wet and dry moves by less than a cell."""

Arrays = dict[str, NDArray[Any]]


@dataclass(frozen=True, eq=False)
class Drawn:
    """The maps there are in a span, in arrays (g, d), each at one of the span's frames."""

    maps: list[VillageMap]
    frames: NDArray[np.intp]  # (d,)
    layers: dict[
        str, Floats
    ]  # what the browser mixes: wind and rain in the catalogue's units, else the reader's
    value: Floats  # what is seen of it [reader's unit]; of wind none
    error: Floats  # [canonical unit]
    root: Floats  # (d,) of rain


def run(now: VillageNow, variable: str) -> bytes:
    """The maps of all frames in the span of ``now``, packed (see ``packed``), on the finest grid that fits."""
    for rows in ROWS:
        packed = _packed(now, variable, village_grid(now.village, rows))
        if len(gzip.compress(packed, 6)) <= MOST:
            break
    return packed


def _packed(now: VillageNow, variable: str, grid: Grid) -> bytes:
    count = len(now.seen.at)
    canvas = draw.Canvas(grid)
    drawn = _drawn(now, variable, grid)
    marks, arrays = stations(now, variable, canvas)
    captions = _captions(now, variable, drawn, grid)
    different = sorted(set(captions))
    head = {
        "variable": variable,
        "title": title(variable, "{}"),
        "unit": unit_sign(variable),
        "decimals": decimals_of(variable),
        "scale": _scale(variable),
        "zone": str(now.village.zone),
        "frames": {"first": int(now.seen.at[0]), "step": FRAME, "count": count},
        "grid": {"rows": grid.rows, "columns": grid.columns},
        "picture": {"width": draw.WIDTH, "height": canvas.height, **_edges(grid, now)},
        "layers": list(drawn.layers),
        "captions": different,
        "stations": marks,
        "verdicts": VERDICT_WORDS,
    }
    arrays["root"] = _among(drawn.root[None], drawn.frames, count)[0].astype(np.float32)
    arrays["caption"] = np.array([different.index(one) for one in captions], dtype=np.float32)
    arrays |= _scales(variable, drawn, count)
    for name, cells in drawn.layers.items():
        told = mixture(
            _among(cells, drawn.frames, count), _tolerance(name, variable) / _steepness(name, drawn)
        )
        arrays[f"{name}.level"], arrays[f"{name}.shares"] = told.level, told.shares
        arrays[f"{name}.pictures"] = eastward_steps(told.pictures, grid.columns)
    return pack(head, arrays)


def _drawn(now: VillageNow, variable: str, grid: Grid) -> Drawn:
    span = {"at__gt": now.when.begins_at, "at__lte": now.when.ends_at}
    maps = list(VillageMap.objects.filter(village=now.village, variable=variable, **span).order_by("at"))
    try:
        made = estimate(now.village, maps, grid) if maps else None
    except TooFew:
        made = None
    if made is None:
        nothing = np.empty((grid.rows * grid.columns, 0))
        return Drawn([], np.empty(0, dtype=np.intp), {}, nothing, nothing, np.empty(0))
    layers, value = _layers(variable, made)
    there = np.isfinite(value).all(axis=0)
    frames = np.searchsorted(now.seen.at, [one.at for one in maps])
    root = np.broadcast_to(
        1 if isinstance(made, WindMap) or made.rain is None else made.rain.root, there.shape
    )
    return Drawn(
        [one for one, drawn in zip(maps, there, strict=True) if drawn],
        frames[there],
        {name: cells[:, there] for name, cells in layers.items()},
        value[:, there],
        made.error[:, there],
        root[there],
    )


def _layers(variable: str, made: Map | WindMap) -> tuple[dict[str, Floats], Floats]:
    """What is sent, and what will be seen of it. Of rain what makes it, smooth where the rain itself is not."""
    if isinstance(made, WindMap):
        layers = {"eastward": made.eastward, "northward": made.northward, "error": made.error}
        return layers, np.where(np.isfinite(made.error), 0.0, np.nan)
    value = in_shown_unit(variable, made.estimate)
    if made.rain is None:
        return {"estimate": value, "error": shown_difference(variable, made.error)}, value
    rain, when = made.rain, made.rain_times
    parts = {"chance": rain.chance, "middle": rain.middle, "spread": rain.spread}
    return {name: part[:, when] for name, part in parts.items()}, value


def _scale(variable: str) -> dict[str, Any]:
    """How the browser turns what it mixes into the reader's unit: by a factor, or by where each force begins."""
    if variable not in ("wind_speed", "rain_amount"):
        return {"factor": 1}
    if shown_unit(variable) == BEAUFORT:
        tenths = np.arange(400) / 10
        return {"forces": tenths[np.flatnonzero(np.diff(beaufort(tenths))) + 1].tolist()}
    return {"factor": float(shown_difference(variable, np.array(1.0)))}


def _among(cells: Floats, frames: NDArray[np.intp], count: int) -> Floats:
    """Maps at some frames as maps at all of them, NaN between."""
    whole = np.full((len(cells), count), np.nan)
    whole[:, frames] = cells
    return whole


def _tolerance(layer: str, variable: str) -> float:
    if layer == "chance":
        return CHANCE_TOLERANCE
    mixed_as_shown = layer == "estimate" or (layer == "error" and variable != "wind_speed")
    return TOLERANCE * 10.0 ** -(decimals_of(variable) if mixed_as_shown else VARIABLES[variable].decimals)


def _steepness(layer: str, drawn: Drawn) -> float:
    """By how much more than itself an error in a root of rain changes the rain that is turned back from it."""
    if layer not in ("middle", "spread") or not drawn.maps:
        return 1.0
    largest = np.maximum(drawn.layers["middle"], 0.0) + drawn.layers["spread"]
    return max(1.0, float((drawn.root * largest ** (drawn.root - 1)).max()))


def _edges(grid: Grid, now: VillageNow) -> dict[str, float]:
    """Degrees at the picture's edges, which run through the middles of the outermost cells."""
    zeros = np.zeros(2)
    _, longitude = from_local_plane(grid.eastings[[0, -1]], zeros, now.village.centre)
    latitude, _ = from_local_plane(zeros, grid.northings[[0, -1]], now.village.centre)
    degrees = [round(float(one), 7) for one in (*longitude, *latitude)]
    return dict(zip(("west", "east", "south", "north"), degrees, strict=True))


def _captions(now: VillageNow, variable: str, drawn: Drawn, grid: Grid) -> list[str]:
    """The sentence under each frame."""
    said = [phrase(str(TooFew(VARIABLES[variable].words, count))) for count in trusted(now, variable)]
    for i, (frame, one) in enumerate(zip(drawn.frames.tolist(), drawn.maps, strict=True)):
        said[frame] = f"{doubt_words(grid.shape, variable, drawn.error[:, i])}; {standing_words(now, one)}"
    return said


def _scales(variable: str, drawn: Drawn, count: int) -> Arrays:
    """The step of the isolines at each frame, and the values at which the tint is palest and deepest.

    These lie as far apart at every frame, so that a village which differs less looks it.
    """
    step, low, high = (np.full(count, np.nan, dtype=np.float32) for _ in range(3))
    if drawn.maps:
        error, least = shown_difference(variable, drawn.error), 10.0 ** -decimals_of(variable)
        steps = [draw.isoline_step(drawn.value[:, i], error[:, i], least) for i in range(len(drawn.maps))]
        span = max(float(np.quantile(np.ptp(drawn.value, axis=0), 0.9)), 2 * float(np.median(steps)))
        middle = (drawn.value.min(axis=0) + drawn.value.max(axis=0)) / 2
        step[drawn.frames] = steps
        low[drawn.frames], high[drawn.frames] = middle - span / 2, middle + span / 2
    return {"step": step, "low": low, "high": high}
