"""Paper to draw a map on: areas first, then lines twice as large as wanted and made smaller, so that they are smooth."""

import re
import unicodedata
from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, ImageDraw, ImageFont

Colour = tuple[int, int, int]
Line = list[tuple[float, float]]

PAPER: Colour = (251, 250, 246)
INK: Colour = (29, 33, 39)
PALE: Colour = (92, 96, 104)
HAIRLINE: Colour = (217, 213, 201)
IRON: Colour = (39, 75, 122)
TINT: Colour = (74, 109, 134)
OCHRE: Colour = (138, 82, 0)

FINER = 2
SERIFS = ("NotoSerif-Regular.ttf", "DejaVuSerif.ttf", "LiberationSerif-Regular.ttf", "Georgia.ttf")
SANS = ("NotoSans-Regular.ttf", "DejaVuSans.ttf", "LiberationSans-Regular.ttf", "Verdana.ttf")

PLAIN = str.maketrans({"−": "-", "–": "-", "’": "'", "‘": "'", "ß": "ss", "ø": "o", "ł": "l", "æ": "ae"})


class Ink:
    """A sheet of paper to draw on, in pixels of the finished picture."""

    def __init__(self, width: int, height: int) -> None:
        self.size = width, height
        self._image = Image.new("RGB", self.size, PAPER)
        self._draw = ImageDraw.Draw(self._image)

    def refine(self) -> None:
        """End the areas and begin the lines."""
        larger = self._image.size[0] * FINER, self._image.size[1] * FINER
        self._image = self._image.resize(larger, Image.Resampling.BILINEAR)
        self._draw = ImageDraw.Draw(self._image)

    def finished(self) -> Image.Image:
        return self._image.resize(self.size, Image.Resampling.LANCZOS)

    def fill(self, lines: Sequence[Line], colour: Colour, opacity: float) -> None:
        """Areas by their rings, before ``refine``; a ring within a ring is a hole."""
        if not lines:
            return
        points = np.concatenate([np.array(line) for line in lines])
        left, top = np.clip(np.floor(points.min(axis=0)), 0, self.size).astype(int).tolist()
        right, bottom = np.clip(np.ceil(points.max(axis=0)) + 1, 0, self.size).astype(int).tolist()
        if left >= right or top >= bottom:
            return
        mask = Image.new("1", (right - left, bottom - top))
        for line in lines:
            ring = Image.new("1", mask.size)
            ImageDraw.Draw(ring).polygon([(x - left, y - top) for x, y in line], fill=1)
            mask = ImageChops.logical_xor(mask, ring)
        strength = mask.convert("L").point(lambda on: round(opacity * 255) if on else 0)
        self._image.paste(colour, (left, top), strength)

    def blank(self, left: float, top: float, right: float, bottom: float) -> None:
        """Paper over a part, after ``refine``."""
        self._draw.rectangle([FINER * side for side in (left, top, right, bottom)], fill=PAPER)

    def stroke(self, lines: Sequence[Line], colour: Colour, width: float, dash: float = 0.0) -> None:
        for line in lines:
            for piece in _dashes(line, dash) if dash else [line]:
                if len(piece) > 1:
                    self._draw.line(
                        _finer(piece), fill=colour, width=max(round(width * FINER), 1), joint="curve"
                    )

    def dot(self, x: float, y: float, radius: float, fill: Colour, edge: Colour | None = None) -> None:
        box = [FINER * (x - radius), FINER * (y - radius), FINER * (x + radius), FINER * (y + radius)]
        self._draw.ellipse(box, fill=fill, outline=edge, width=2 * FINER)

    def wash(self, share: NDArray[np.float64], corner: tuple[int, int], size: tuple[int, int]) -> None:
        """Lay shadow (below zero) and light (above) over a part, before ``refine``: shares of black and of white."""
        for sign, colour in ((-1, 0), (1, 255)):
            strength = Image.fromarray(np.clip(sign * share * 255, 0, 255).astype(np.uint8), "L")
            self._image.paste((colour,) * 3, corner, strength.resize(size, Image.Resampling.BICUBIC))

    def write(
        self, x: float, y: float, words: str, size: float, colour: Colour = INK, *,
        serif: bool = False, anchor: str = "ls", halo: bool = False,
    ) -> float:  # fmt: skip
        """Write words with their line at ``y``; the width they take."""
        font = _font(serif, round(size * FINER))
        text = words if font.path else _plain(words)
        edge = {"stroke_width": round(2 * FINER), "stroke_fill": PAPER} if halo else {}
        self._draw.text((FINER * x, FINER * y), text, font=font, fill=colour, anchor=anchor, **edge)
        return float(font.getlength(text)) / FINER

    def paragraph(
        self,
        y: float,
        words: Sequence[str],
        size: float,
        colour: Colour = INK,
        *,
        x: float = 0,
        serif: bool = False,
    ) -> float:
        """Lines one under another; where the next would stand."""
        for line in words:
            self.write(x, y, line, size, colour, serif=serif)
            y += 1.4 * size
        return y


def wrapped(words: str, size: float, width: float, *, serif: bool = False) -> list[str]:
    """Words as lines of at most a width."""
    font, lines = _font(serif, round(size * FINER)), [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if font.getlength(longer if font.path else _plain(longer)) <= FINER * width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def lines_of(
    path: str,
    scale: float,
    x: float = 0.0,
    y: float = 0.0,
    within: tuple[float, float, float, float] | None = None,
) -> list[Line]:
    """The lines of a path of moves, straight lines and closings, as the map's own are, moved and scaled.

    Of lines that leave ``within`` (left, top, right, bottom) the part inside remains.
    """
    made = []
    for part in re.split("[M]", path)[1:]:
        figures = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", part)]
        line = [(scale * a + x, scale * b + y) for a, b in zip(figures[::2], figures[1::2], strict=False)]
        whole = [*line, line[0]] if part.endswith("Z") else line
        made += [whole] if within is None else _inside(whole, within)
    return made


def _inside(line: Line, box: tuple[float, float, float, float]) -> list[Line]:
    """The runs of a line's points inside a box, each drawn on to its edge."""
    left, top, right, bottom = box
    points = np.array(line)
    low, high = np.array([left, top]), np.array([right, bottom])
    inside = ((points >= low) & (points <= high)).all(axis=1)
    if inside.all():
        return [line]
    runs = np.flatnonzero(np.diff(np.concatenate([[0], inside.astype(int), [0]]))).reshape(-1, 2)
    made = []
    for begin, end in runs:
        # The neighbours outside are pulled onto the edge: the map's lines have points close together.
        piece = np.clip(points[max(begin - 1, 0) : end + 1], low, high)
        made.append([(float(a), float(b)) for a, b in piece])
    return made


@cache
def _font(serif: bool, size: int) -> ImageFont.FreeTypeFont:
    """A face of the system, or else the one that Pillow carries, which knows plain letters only."""
    for name in SERIFS if serif else SANS:
        try:
            return ImageFont.truetype(name, size)
        except OSError:
            continue
    carried = ImageFont.load_default(size)
    assert isinstance(carried, ImageFont.FreeTypeFont)
    carried.path = ""
    return carried


def _plain(words: str) -> str:
    """Words in the letters that every face has."""
    bare = unicodedata.normalize("NFKD", words.translate(PLAIN))
    return "".join(one for one in bare if not unicodedata.combining(one))


def _finer(line: Line) -> Line:
    return [(FINER * x, FINER * y) for x, y in line]


def _dashes(line: Line, length: float) -> list[Line]:
    """A line as dashes with gaps between, all of one length."""
    points = np.array(line)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    made = []
    for begin in np.arange(0.0, along[-1], 2 * length):
        end = min(begin + length, along[-1])
        at = np.concatenate([[begin], along[(along > begin) & (along < end)], [end]])
        made.append(list(zip(*(np.interp(at, along, part) for part in points.T), strict=True)))
    return made
