"""A map as a picture for a notice or a newsletter, complete in itself: title, key, scale, doubt, credit, caution."""

from dataclasses import dataclass
from io import BytesIO
from typing import Self

import numpy as np

from network.spatial.distance import local_plane
from network.web.axes import round_step
from network.web.ground_shade import relief
from network.web.map_files.ink import (
    HAIRLINE,
    INK,
    IRON,
    OCHRE,
    PALE,
    PAPER,
    TINT,
    Ink,
    Line,
    lines_of,
    wrapped,
)
from network.web.map_key import SAMPLE, SHORT_SWATCH, SWATCH, MapKey
from network.web.village_map import MapPicture, Mark
from network.web.village_now import VillageNow
from network.web.when import When
from stations.models import Ground, Village

WIDTH, EDGE = 1600, 80
INNER = WIDTH - 2 * EDGE
TOP = 190
"""Pixels above the map."""

RIGHT = WIDTH - EDGE
BODY, SMALL = 27, 23
KEY_SCALE, SWATCHES_AT, FADING_AT = 1.9, EDGE + 70, 620
WARNING = "Not a warning service: for warnings see {service}, {link}"


def notice(now: VillageNow, picture: MapPicture, title: str) -> bytes:
    """A PNG of the map as the village's page draws it. Words are those of the page."""
    village, scale = now.village, INNER / picture.width
    high, words = round(picture.height * scale), _Words.of(village, picture)
    ink = Ink(WIDTH, TOP + high + 110 + words.height)
    y = TOP + high + 46
    _tint(ink, picture, scale)
    _land(ink, village, picture, scale)
    _outside(ink, high)
    if picture.key is not None:
        _patches(ink, picture.key, y)
    ink.refine()
    _lines(ink, picture, scale)
    _rim(ink, high)
    ink.stroke(
        [[(EDGE, TOP), (RIGHT, TOP), (RIGHT, TOP + high), (EDGE, TOP + high), (EDGE, TOP)]], HAIRLINE, 2
    )
    _marks(ink, picture.marks, scale)
    _title(ink, village, now.when, title)
    _scale_bar(ink, village, y)
    if picture.key is not None:
        _key(ink, picture.key, y)
    words.write(ink, y + 70)
    out = BytesIO()
    ink.finished().save(out, "PNG", optimize=True)
    return out.getvalue()


@dataclass(frozen=True)
class _Words:
    """What stands under the map: how sure it is, whose work the ground is, and the caution, which is never cut."""

    caption: list[str]
    credit: list[str]
    warning: list[str]

    @classmethod
    def of(cls, village: Village, picture: MapPicture) -> Self:
        said, credit = WARNING.format(service=village.weather_service, link=village.weather_service_link), ""
        if picture.ground.credit:
            credit = f"{picture.ground.credit[0].upper()}{picture.ground.credit[1:]}."
        return cls(
            wrapped(f"{picture.caption}.", BODY, INNER, serif=True),
            wrapped(credit, SMALL, INNER) if credit else [],
            wrapped(said, BODY, INNER),
        )

    @property
    def height(self) -> int:
        return round(1.4 * (BODY * len(self.caption + self.warning) + SMALL * len(self.credit))) + 110

    def write(self, ink: Ink, y: float) -> None:
        y = ink.paragraph(y, self.caption, BODY, x=EDGE, serif=True)
        y = ink.paragraph(y + 4, self.credit, SMALL, PALE, x=EDGE)
        ink.stroke([[(EDGE, y), (RIGHT, y)]], HAIRLINE, 2)
        ink.paragraph(y + 44, self.warning, BODY, x=EDGE)


def _title(ink: Ink, village: Village, when: When, title: str) -> None:
    local = when.local()
    day = f"{local:%A} {local.day} {local:%B %Y}, {local:%H:%M}"
    ink.write(EDGE, 92, title, 58, serif=True)
    ink.write(EDGE, 148, f"{village.name}, {day}", 34, PALE, serif=True)
    ink.write(RIGHT, 148, "north is up", SMALL, PALE, anchor="rs")


def _tint(ink: Ink, picture: MapPicture, scale: float) -> None:
    """The tint, and the paper that lies over it where little is known."""
    for layers, colour in ((picture.tints, TINT), (picture.fades, PAPER)):
        for layer in layers:
            ink.fill(lines_of(layer.path, scale, EDGE, TOP), colour, layer.opacity)


def _land(ink: Ink, village: Village, picture: MapPicture, scale: float) -> None:
    """The shade of the ground, and the areas on it."""
    ground = picture.ground
    if ground.shade is not None:
        terrain, frame = Ground.objects.get(pk=ground.shade.layer), ground.shade
        grid = terrain.grid
        lit = relief(
            terrain.cells, (grid.east - grid.west) / grid.columns, (grid.north - grid.south) / grid.rows
        )
        corner = (round(EDGE + scale * frame.x), round(TOP + scale * frame.y))
        ink.wash(0.55 * lit[::-1], corner, (round(scale * frame.width), round(scale * frame.height)))
    ink.fill(lines_of(ground.outline, scale, EDGE, TOP), INK, 0.05)
    ink.fill(lines_of(ground.ponds, scale, EDGE, TOP), IRON, 0.28)


def _outside(ink: Ink, high: int) -> None:
    """Paper over what was drawn beyond the map's edge."""
    below = ink.size[1]
    for left, top, right, bottom in (
        (0, 0, EDGE, below), (RIGHT, 0, WIDTH, below), (0, 0, WIDTH, TOP), (0, TOP + high, WIDTH, below),
    ):  # fmt: skip
        ink.fill([[(left, top), (right, top), (right, bottom), (left, bottom)]], PAPER, 1)


def _rim(ink: Ink, high: int) -> None:
    """Paper over the ends of lines that are broader than the edge they stop at."""
    left, top, right, bottom = EDGE - 12, TOP - 12, RIGHT + 12, TOP + high + 12
    ink.blank(left, top, right, TOP)
    ink.blank(left, TOP + high, right, bottom)
    ink.blank(left, top, EDGE, bottom)
    ink.blank(RIGHT, top, right, bottom)


def _lines(ink: Ink, picture: MapPicture, scale: float) -> None:
    """The ground's lines, and over them the field's."""

    def lines(path: str) -> list[Line]:
        return lines_of(path, scale, EDGE, TOP, within=(EDGE, TOP, RIGHT, TOP + picture.height * scale))

    ground = picture.ground
    ink.stroke(lines(ground.outline), _mixed(PALE, 0.7), 1.5, dash=4)
    ink.stroke(lines(ground.light), _mixed(PALE, 0.4), 1.2)
    ink.stroke(lines(ground.heavy), _mixed(PALE, 0.5), 2)
    ink.stroke(lines(ground.streams), _mixed(IRON, 0.5), 3.5)
    ink.stroke(lines(ground.streets), _mixed(PALE, 0.45), 6.5)
    ink.stroke(lines(ground.streets), PAPER, 3.5)
    for x, y in (line[0] for line in lines(picture.stipple)):
        ink.dot(x, y, 2.6, IRON)
    for arrow in picture.arrows:
        ink.stroke(lines(arrow.path), TINT, 3, dash=0 if arrow.known else 5)
    for isoline in picture.isolines:
        ink.stroke(lines(isoline.known), INK, 2.6)
        ink.stroke(lines(isoline.guessed), _mixed(INK, 0.75), 1.9, dash=10)
    for isoline in picture.isolines:
        for x, y in isoline.spots:
            ink.write(EDGE + scale * x, TOP + scale * y, isoline.figure, SMALL, anchor="mm", halo=True)


def _marks(ink: Ink, marks: list[Mark], scale: float) -> None:
    """The stations, by the marks of their verdicts."""
    for mark in marks:
        x, y = EDGE + scale * mark.x, TOP + scale * mark.y
        ink.stroke(lines_of(mark.arrow, scale, EDGE, TOP), IRON, 5)
        doubted = mark.verdict in ("doubtful", "wrong", "unchecked")
        if mark.verdict == "missing":
            ink.stroke([[(x - 14, y), (x - 4, y)], [(x + 4, y), (x + 14, y)]], PALE, 2)
        else:
            ink.dot(x, y, 9, PAPER if doubted else INK, OCHRE if doubted else INK)
        if mark.verdict == "wrong":
            ink.stroke([[(x - 18, y), (x + 18, y)]], OCHRE, 3)
        beside, anchor = {"": (x + 22, "ls"), "left": (x - 22, "rs")}.get(mark.side, (x, "ms"))
        down = {"over": -46, "under": 44}.get(mark.side, -1)
        ink.write(beside, y + down, mark.figure, 31, anchor=anchor, halo=True)
        ink.write(beside, y + down + 25, mark.name, 22, PALE, anchor=anchor, halo=True)


def _scale_bar(ink: Ink, village: Village, y: float) -> None:
    """How long a round distance is on the map."""
    (west, east), _ = local_plane(
        np.full(2, village.centre[0]), np.array([village.west, village.east]), village.centre
    )
    pixels_a_metre = INNER / float(east - west)
    metres = round_step(120 / pixels_a_metre)
    length, right = metres * pixels_a_metre, RIGHT
    ink.stroke([[(right - length, y - 8), (right - length, y), (right, y), (right, y - 8)]], INK, 2.5)
    said = f"{metres / 1000:g} km" if metres >= 1000 else f"{metres:g} m"
    ink.write(right - length - 14, y + 4, said, SMALL, PALE, anchor="rs")


def _patches(ink: Ink, key: MapKey, y: float) -> None:
    """The tints of the key, which are areas; its words come later."""
    low = y + 5
    for swatches, wide, x in ((key.swatches, SWATCH, SWATCHES_AT), (key.fading, SHORT_SWATCH, FADING_AT)):
        for left, opacity in swatches:
            a, b = x + KEY_SCALE * left, x + KEY_SCALE * (left + wide) - 1
            ink.fill([[(a, low - 30), (b, low - 30), (b, low), (a, low)]], TINT, opacity)


def _key(ink: Ink, key: MapKey, y: float) -> None:
    """What the inks mean, as the page's own key says it."""
    if key.swatches:
        end = SWATCHES_AT + KEY_SCALE * SWATCH * len(key.swatches)
        ink.write(SWATCHES_AT - 10, y, key.low, SMALL, anchor="rs")
        ink.write(end + 10, y, f"{key.high} {key.unit}", SMALL)
        end = FADING_AT + KEY_SCALE * SHORT_SWATCH * len(key.fading)
        ink.write(end + 10, y, "fades where little is known", SMALL, PALE)
    x, top = float(EDGE), y - KEY_SCALE * SAMPLE[1] * 0.6
    for path, words in (*key.stipples, *key.arrows):
        for line in lines_of(path, KEY_SCALE, x, top):
            if key.arrows:
                ink.stroke([line], TINT, 3)
            else:
                ink.dot(*line[0], 2.6, IRON)
        x += SAMPLE[0] * KEY_SCALE + 12
        x += ink.write(x, y, words, SMALL) + 36


def _mixed(colour: tuple[int, int, int], share: float) -> tuple[int, int, int]:
    """A colour as it looks when that share of it lies on the paper."""
    red, green, blue = (round(share * a + (1 - share) * b) for a, b in zip(colour, PAPER, strict=True))
    return red, green, blue
