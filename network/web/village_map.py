"""The village map of one variable at one moment: what is drawn, and the words under it."""

from dataclasses import dataclass, field, replace

import numpy as np

from network.models import VillageMap
from network.pipeline.maps.ground import grounded
from network.pipeline.maps.map import estimate, village_grid
from network.pipeline.metadata.stretches import as_shown
from network.quality.verdict import GOOD, MISSING, VERDICT_WORDS
from network.science.variables import VARIABLES
from network.science.wind import components
from network.spatial.distance import local_plane
from network.spatial.village import LEAST, Map, TooFew
from network.web import village_map_picture as draw
from network.web.ground_picture import GroundPicture, ground_picture
from network.web.map_key import MapKey, map_key
from network.web.map_labels import Labelled, sides
from network.web.map_words import doubt_words, map_title, shown_difference, standing_words, trusted
from network.web.phrases import phrase
from network.web.quantities import decimals_of, figure, in_shown_unit
from network.web.village_now import VillageNow
from stations.models import Placement

ROWS = 46
"""Cells of the map from south to north."""

OFFERED = ("air_temperature", "dew_point", "sea_level_pressure", "rain_amount", "wind_speed")
"""The variables a reader may choose, in this order."""


@dataclass(frozen=True)
class Mark:
    """A station on the map, where its household lets it be seen."""

    x: float
    y: float
    name: str
    pk: int
    verdict: str
    figure: str
    arrow: str = ""
    side: str = ""  # of it, where its words stand: one of map_labels.SIDES


@dataclass(frozen=True)
class MapPicture:
    """Everything network/_map.svg may show. Paths are in units of a picture ``width`` across."""

    title: str
    caption: str
    width: int
    height: int
    marks: list[Mark]
    ground: GroundPicture = field(default_factory=GroundPicture)
    tints: list[draw.Tint] = field(default_factory=list)
    fades: list[draw.Tint] = field(default_factory=list)
    isolines: list[draw.Isoline] = field(default_factory=list)
    stipple: str = ""
    arrows: list[draw.Arrow] = field(default_factory=list)
    key: MapKey | None = None


def map_picture(now: VillageNow, variable: str) -> MapPicture:
    """The map at the chosen frame; only marks and a sentence where too few stations are trusted."""
    grid = village_grid(now.village, ROWS)
    canvas = draw.Canvas(grid)
    standing = [p for p in now.seen.places if p.begins_at <= now.when.at - 1 < p.ends_at]
    ground = grounded(now.village, grid.sites(), standing)
    marks = _marks(now, variable, canvas)
    kept = VillageMap.objects.filter(village=now.village, variable=variable, at=now.when.at).first()
    common = {
        "title": map_title(variable, now.when.local()),
        "width": draw.WIDTH,
        "height": canvas.height,
        "marks": marks,
        "ground": ground_picture(now.village, canvas, None if ground is None else ground.elevation),
    }
    try:
        if kept is None or ground is None or len(as_shown(standing)) < LEAST:
            raise TooFew(VARIABLES[variable].words, trusted(now, variable)[now.k])
        made = estimate(now.village, [kept], ground, standing)
    except TooFew as too_few:
        return MapPicture(caption=phrase(str(too_few)), **common)
    drawn = _field(canvas, variable, made, marks) if isinstance(made, Map) else _wind(canvas, made)
    caption = f"{doubt_words(grid.shape, variable, made.error[:, 0])}; {standing_words(now, kept)}"
    return MapPicture(caption=caption, **common, **drawn)


def _field(canvas: draw.Canvas, variable: str, made: Map, marks: list[Mark]) -> dict[str, object]:
    values = in_shown_unit(variable, made.estimate[:, 0])
    error = shown_difference(variable, made.error[:, 0])
    taken = [(mark.x, mark.y) for mark in marks]
    step = draw.isoline_step(values, error, 10.0 ** -decimals_of(variable))
    if variable == "rain_amount":
        lines = draw.isolines(canvas, values, error, step, taken) if values.max() > 0 else []
        return {
            "key": map_key(variable),
            "stipple": draw.stipple(canvas, made.estimate[:, 0]),
            "isolines": [one for one in lines if one.figure.strip("0.")],
        }
    return {
        "key": map_key(variable, *draw.tint_ends(values, step)),
        "tints": draw.tints(canvas, values, step),
        "fades": draw.fades(canvas, error, step),
        "isolines": draw.isolines(canvas, values, error, step, taken),
    }


def _wind(canvas: draw.Canvas, made: object) -> dict[str, object]:
    flown = draw.arrows(canvas, made.eastward[:, 0], made.northward[:, 0], made.error[:, 0])  # type: ignore[attr-defined]
    return {"key": map_key("wind_speed"), "arrows": flown}


def _marks(now: VillageNow, variable: str, canvas: draw.Canvas) -> list[Mark]:
    """The stations that measure it and may be seen, with the frame's value and worst verdict."""
    verdicts, values = now.verdicts(variable), now.matrix(variable, trusted=False)
    made, labelled = [], []
    for pk, (stretch, _) in now.here.items():
        station = now.stations[pk]
        stands = Placement(station=station, latitude=stretch.latitude, longitude=stretch.longitude)
        place = stands.public_place
        if place is None or variable not in stretch.noise:
            continue
        east, north = local_plane(*place, now.village.centre)
        x, y = float(canvas.x(east)), float(canvas.y(north))
        if not (0 <= x <= draw.WIDTH and 0 <= y <= canvas.height):
            continue
        verdict, value = int(verdicts[pk][now.k]), float(values[pk][now.k])
        if variable == "rain_amount" and np.isnan(value):
            verdict = MISSING
        said = figure(variable, value) if verdict != MISSING else ""
        flown, shaft = "", ()
        if variable == "wind_speed" and verdict == GOOD and (wind := _wind_there(now, pk)):
            flown = draw.arrow(x, y, *wind, from_here=True)
            shaft = tuple((float(a), float(b)) for a, b in draw.shaft(x, y, *wind, from_here=True))
        made.append(Mark(round(x), round(y), station.name, pk, VERDICT_WORDS[verdict], said, flown))
        labelled.append(Labelled(x, y, station.name, said, shaft))
    chosen = sides(labelled, draw.WIDTH, canvas.height)
    return [replace(mark, side=side) for mark, side in zip(made, chosen, strict=True)]


def _wind_there(now: VillageNow, pk: int) -> tuple[float, float] | None:
    """Eastward and northward [m/s]; None in a calm or where nothing tells."""
    speed, direction = now.winds.get(pk, (0.0, np.nan))
    if np.isnan(direction) or speed < 0.2:
        return None
    east, north = (float(part) for part in components(speed, direction))
    return east, north
