"""The wind rose as a picture and a table."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.science.wind import beaufort_words
from network.science.wind_rose import CLASSES, SECTORS, Rose
from network.web.quantities import difference_unit, in_unit, sign_of, written

HALF = 8.6
"""[degrees] Half the width of a petal: a little less than a sector's, so that each stands free."""

HEART, REACH = 30.0, 150.0
"""Units from the middle to where petals begin and where the longest ends; the picture is 400 across."""

STEPS = (1, 2, 3, 4, 5, 8, 10, 15, 20, 25)
"""[%] Of which one the rings are drawn, four at most."""

FEWEST = 24
"""Of fewer winds a rose says nothing."""

SIDES = (
    gettext_noop("north"), gettext_noop("north-north-east"), gettext_noop("north-east"), gettext_noop("east-north-east"),
    gettext_noop("east"), gettext_noop("east-south-east"), gettext_noop("south-east"), gettext_noop("south-south-east"),
    gettext_noop("south"), gettext_noop("south-south-west"), gettext_noop("south-west"), gettext_noop("west-south-west"),
    gettext_noop("west"), gettext_noop("west-north-west"), gettext_noop("north-west"), gettext_noop("north-north-west"),
)  # fmt: skip

LOWEST = {1: 0.5, 2: 1.6, 3: 3.4, 4: 5.5, 5: 8.0}
"""[m/s] Where the classes begin: the first at the end of the calm, the others as the Beaufort scale has it."""


@dataclass(frozen=True)
class Petal:
    """A class of speed in one sector."""

    kind: int
    path: str


@dataclass(frozen=True)
class Ring:
    """A circle at a round share."""

    radius: float
    words: str


@dataclass(frozen=True)
class Row:
    """One side of the compass: its shares by class and in all, in per cent."""

    side: str
    shares: list[str]
    whole: str


@dataclass(frozen=True)
class RosePicture:
    """Everything ``_record_rose.html`` shows."""

    sentence: str
    petals: list[Petal]
    rings: list[Ring]
    heart: float
    calm: str
    classes: list[str]
    rows: list[Row]
    rest: str  # what is in no petal


def rose_picture(rose: Rose) -> RosePicture | None:
    """Draw the rose; None where too few winds are known."""
    if rose.known < FEWEST:
        return None
    share = 100 * rose.counts / rose.known
    whole = share.sum(axis=1)
    step = next(step for step in STEPS if whole.max() <= 4 * step)
    longest = step * max(1, int(np.ceil(whole.max() / step)))
    return RosePicture(
        sentence=_sentence(rose, whole),
        petals=list(_petals(share, longest)),
        rings=[
            Ring(round(_radius(value, longest), 1), f"{value} %")
            for value in range(step, longest + 1, step)
        ],
        heart=HEART,
        calm=_per_cent(100 * rose.calm / rose.known),
        classes=[_class(i) for i in range(len(CLASSES))],
        rows=[
            Row(_(SIDES[i]), [_per_cent(one) if one else "" for one in share[i].tolist()], _per_cent(whole[i]))
            for i in range(SECTORS)
        ],
        rest=_rest(rose),
    )  # fmt: skip


def _radius(share: float, longest: float) -> float:
    return HEART + share / longest * (REACH - HEART)


def _petals(share: np.ndarray, longest: float) -> Iterator[Petal]:
    for sector in range(SECTORS):
        inner = 0.0
        for kind, part in enumerate(share[sector].tolist()):
            if part > 0:
                path = _wedge(sector * 360 / SECTORS, _radius(inner, longest), _radius(inner + part, longest))
                yield Petal(kind, path)
                inner += part


def _wedge(direction: float, inner: float, outer: float) -> str:
    a, b = direction - HALF, direction + HALF
    (x1, y1), (x2, y2) = _point(a, inner), _point(a, outer)
    (x3, y3), (x4, y4) = _point(b, outer), _point(b, inner)
    return (
        f"M{x1} {y1}L{x2} {y2}A{outer:.1f} {outer:.1f} 0 0 1 {x3} {y3}"
        f"L{x4} {y4}A{inner:.1f} {inner:.1f} 0 0 0 {x1} {y1}Z"
    )


def _point(direction: float, radius: float) -> tuple[float, float]:
    """North is up, and directions run clockwise."""
    angle = radians(direction)
    return round(200 + radius * sin(angle), 1), round(200 - radius * cos(angle), 1)


def _class(i: int) -> str:
    """'gentle breeze, from 3.4 m/s'."""
    first = max(CLASSES[i][0], 1)
    unit = difference_unit("wind_speed")
    speed = f"{written(float(in_unit(LOWEST[first], 'm/s', unit)), 1)}\N{NO-BREAK SPACE}{sign_of(unit)}"
    name = _(str(beaufort_words(first)))
    if i == len(CLASSES) - 1:
        return _("{name} and stronger, from {speed}").format(name=name, speed=speed)
    return _("{name}, from {speed}").format(name=name, speed=speed)


def _sentence(rose: Rose, whole: np.ndarray) -> str:
    """Where it came from mostly; that it came from everywhere, where no side stands out."""
    if not rose.counts.sum():
        return _("The wind never rose above a calm.")
    main = int(whole.argmax())
    around = float(whole[[(main - 1) % SECTORS, main, (main + 1) % SECTORS]].sum())
    calm = written(100 * rose.calm / rose.known, 0)
    if around < 2 * 3 * 100 / SECTORS * float(whole.sum()) / 100:
        said = _("The wind came from all sides; {calm} % of the time it was calm.").format(calm=calm)
    else:
        said = _("Most of the wind came from the {side}; {calm} % of the time it was calm.").format(
            side=_(SIDES[main]), calm=calm
        )
    return said.replace(" %", "\N{NO-BREAK SPACE}%")


def _rest(rose: Rose) -> str:
    said = _(
        "{known} hours counted, {calm} of them calm (under 0.5 m/s), {turning} from changing directions"
    ).format(known=rose.known, calm=rose.calm, turning=rose.turning)
    missing = _("; {missing} hours are missing").format(missing=rose.missing) if rose.missing else ""
    return f"{said}{missing}."


def _per_cent(share: float) -> str:
    return written(float(share), 0 if share >= 9.95 else 1)
