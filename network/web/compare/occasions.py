"""What clear calm nights and sunny afternoons tell of two places, or what is missing for it."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.pipeline.records.side_by_side import Pair, SideBySide, Told
from network.science.paired import CHANCE
from network.web.compare.figures import apart
from network.web.quantities import difference

FEWEST = 6
"""Occasions without which nothing is said: six of six is the least that chance does more rarely than one in twenty."""


@dataclass(frozen=True)
class Sentence:
    """One sentence; ``told`` where the evidence carries what it says of a place."""

    words: str
    told: bool


@dataclass(frozen=True)
class Kind:
    """One kind of occasion: its words in the sentences."""

    plural: str
    neither: str
    then: str
    few_others: str
    others: str
    cause: str


NIGHTS = Kind(
    plural=gettext_noop("clear calm nights"),
    neither=gettext_noop("On clear calm nights neither is reliably the colder: {station} is on {count} of {size}."),
    then=gettext_noop("On clear calm nights {station} is {apart} than {base}, {often} of {size}"),
    few_others=gettext_noop("{words}; there are too few other nights ({count}) to say why."),
    others=gettext_noop("on the {count} other nights"),
    cause=gettext_noop("cold air gathers at {place} (or its thermometer lies open to the sky)"),
)  # fmt: skip
AFTERNOONS = Kind(
    plural=gettext_noop("sunny afternoons"),
    neither=gettext_noop("On sunny afternoons neither is reliably the warmer: {station} is on {count} of {size}."),
    then=gettext_noop("On sunny afternoons {station} is {apart} than {base}, {often} of {size}"),
    few_others=gettext_noop("{words}; there are too few other afternoons ({count}) to say why."),
    others=gettext_noop("on the {count} other afternoons"),
    cause=gettext_noop("something at {place} takes up the sun: a wall, paving or an open shield"),
)  # fmt: skip


def nights(compared: SideBySide, pair: Pair, told: Told) -> Sentence:
    """Where cold air gathers, if the clear calm nights say so."""
    if missing := _missing(compared, pair, told, int(compared.nights.meant.sum()), NIGHTS):
        return Sentence(missing, False)
    if not told.then.told:
        return _neither(pair, told.then.below, told.then.size, NIGHTS)
    return _of_the_place(pair, told, told.then.median < 0, NIGHTS)


def afternoons(compared: SideBySide, pair: Pair, told: Told) -> Sentence:
    """Where something takes up the sun, if the sunny afternoons say so."""
    if missing := _missing(compared, pair, told, int(compared.afternoons.meant.sum()), AFTERNOONS):
        return Sentence(missing, False)
    if not told.then.told:
        return _neither(pair, told.then.above, told.then.size, AFTERNOONS)
    return _of_the_place(pair, told, told.then.median > 0, AFTERNOONS)


def _neither(pair: Pair, count: int, size: int, kind: Kind) -> Sentence:
    return Sentence(_(kind.neither).format(station=pair.station, count=count, size=size), False)


def _of_the_place(pair: Pair, told: Told, at_station: bool, kind: Kind) -> Sentence:
    """The others set against them: only a difference of differences tells of the place."""
    words = _then(pair, told, kind)
    count, then, other = told.otherwise.size, told.then.median, told.otherwise.median
    if count < FEWEST:
        return Sentence(_(kind.few_others).format(words=words, count=count), True)
    size, unlike = difference("air_temperature", other), apart("air_temperature", other)
    same = then * other >= 0
    given = {"words": words, "others": _(kind.others).format(count=count), "size": size, "apart": unlike}
    if told.unlike >= CHANCE or (same and abs(other) >= abs(then)):
        said = (
            _("{words}; {others} it is {size} as well, which points to the instruments or the height more than to the place.")
            if same
            else _("{words}; {others} it is {apart}, which points to the instruments or the height more than to the place.")
        )  # fmt: skip
        return Sentence(said.format(**given), False)
    if size == difference("air_temperature", 0.0):
        said = _("{words}; {others} the two are alike, so {cause}.")
    else:
        said = (
            _("{words}; {others} only {size}, so {cause}.")
            if same
            else _("{words}; {others} {apart}, so {cause}.")
        )
    cause = _(kind.cause).format(place=pair.station if at_station else pair.base)
    return Sentence(said.format(**given, cause=cause), True)


def _then(pair: Pair, told: Told, kind: Kind) -> str:
    then = told.then
    often = then.below if then.median < 0 else then.above
    size = apart("air_temperature", then.median)
    return _(kind.then).format(station=pair.station, base=pair.base, apart=size, often=often, size=then.size)


def _missing(compared: SideBySide, pair: Pair, told: Told, there: int, kind: Kind) -> str:
    """Why nothing can be said of such occasions, or nothing."""
    around, known = compared.setting, told.then.size
    if known >= FEWEST:
        return ""
    if not around.light_by:
        said = _("Nothing can be said of {kind}: no station’s sunlight tells which they were.")
    elif kind is NIGHTS and not around.wind_by:
        said = _("Nothing can be said of {kind}: no station’s wind tells which they were.")
    elif there >= FEWEST:
        said = _lacking(compared.only_good, known)
    elif there:
        said = _(
            "Nothing can be said of {kind} yet: {there} fell in this span, and {fewest} are the fewest that tell."
        )
    else:
        said = _(
            "Nothing can be said of {kind} yet: none fell in this span, and {fewest} are the fewest that tell."
        )
    return said.format(
        kind=_(kind.plural), station=pair.station, base=pair.base, known=known, there=there, fewest=FEWEST
    )


def _lacking(only_good: bool, known: int) -> str:
    """They fell, but the readings of both are not there."""
    if only_good and known:
        return _(
            "Nothing can be said of {kind}: on only {known} of the {there} in this span were the readings of both {station} and {base} good enough; look at all readings to see what was doubted."
        )
    if only_good:
        return _(
            "Nothing can be said of {kind}: on none of the {there} in this span were the readings of both {station} and {base} good enough; look at all readings to see what was doubted."
        )
    if known:
        return _(
            "Nothing can be said of {kind}: on only {known} of the {there} in this span did both {station} and {base} report."
        )
    return _(
        "Nothing can be said of {kind}: on none of the {there} in this span did both {station} and {base} report."
    )
