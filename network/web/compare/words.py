"""What a comparison says in sentences, each with its evidence; or what is missing for one."""

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from network.pipeline.records.side_by_side import SURE, Pair, SideBySide
from network.science.variables import VARIABLES
from network.web.compare.figures import apart, bare, between, signed, unit, zero
from network.web.compare.occasions import FEWEST, Sentence, afternoons, nights
from network.web.quantities import difference, written

MANY = 0.1
"""[1] From this share on, hours that only one of them has are told."""

MEANS = {
    "apart": (
        gettext_noop("On average {station} is {apart} than {base}{likely}, over {hours}."),
        gettext_noop("{station} is {apart} than {base}, over {hours}: too short a time to say how surely."),
    ),
    "clockwise": (
        gettext_noop("On average {station} points {apart} further clockwise than {base}{likely}, over {hours}."),
        gettext_noop("{station} points {apart} further clockwise than {base}, over {hours}: too short a time to say how surely."),
    ),
    "against": (
        gettext_noop("On average {station} points {apart} further against the clock than {base}{likely}, over {hours}."),
        gettext_noop("{station} points {apart} further against the clock than {base}, over {hours}: too short a time to say how surely."),
    ),
}  # fmt: skip
"""How two stations differ on the whole, with an interval and without."""

SHARES = {
    ("less", True): gettext_noop("{station} catches {share} of the rain of {base}, over {days} wet days ({interval}), less on {often} of them."),
    ("more", True): gettext_noop("{station} catches {share} of the rain of {base}, over {days} wet days ({interval}), more on {often} of them."),
    ("less", False): gettext_noop("{station} catches {share} of the rain of {base}, over {days} wet days ({interval}), but less on only {often} of them: a few days decide, which tells nothing of the place."),
    ("more", False): gettext_noop("{station} catches {share} of the rain of {base}, over {days} wet days ({interval}), but more on only {often} of them: a few days decide, which tells nothing of the place."),
}  # fmt: skip
"""Who catches less or more rain, and whether the days bear it out."""


def sentences(compared: SideBySide, pair: Pair) -> list[Sentence]:
    """All there is to say of a pair, what the evidence carries first."""
    if not pair.hours:
        said = (
            _("{station} and {base} have no hour in common with good readings of both.")
            if compared.only_good
            else _("{station} and {base} have no hour in common with readings of both.")
        )
        return [Sentence(said.format(station=pair.station, base=pair.base), False)]
    found = [_rain(pair)] if pair.rain else [_mean(pair, compared.variable)]
    if pair.nights:
        found.append(nights(compared, pair, pair.nights))
    if pair.afternoons:
        found.append(afternoons(compared, pair, pair.afternoons))
    return sorted(found, key=lambda sentence: not sentence.told)


def _mean(pair: Pair, variable: str) -> Sentence:
    kind, size = "apart", apart(variable, pair.mean)
    if VARIABLES[variable].summary == "direction":
        kind, size = "clockwise" if pair.mean > 0 else "against", difference(variable, pair.mean)
    surely, hardly = MEANS[kind]
    given = {"station": pair.station, "base": pair.base, "apart": size, "hours": _hours(pair)}
    if np.isnan(pair.error):
        return Sentence(_(hardly).format(**given), False)
    low, high = pair.mean - SURE * pair.error, pair.mean + SURE * pair.error
    if low <= 0 <= high:
        said = _(
            "On average {station} and {base} are alike: the difference lies between {low} and {high}, over {hours}."
        )
        return Sentence(said.format(**given, low=signed(variable, low), high=signed(variable, high)), False)
    by = between(variable, low, high)
    likely = _(", nine times in ten by {by}").format(by=by) if by else ""
    return Sentence(_(surely).format(**given, likely=likely), True)


def _rain(pair: Pair) -> Sentence:
    found = pair.rain
    assert found is not None
    share, days = found.share, found.share.size
    if days < FEWEST:
        return Sentence(_too_dry(days), False)
    interval = _("nine times in ten between {low} and {high}").format(
        low=written(share.low, 2), high=written(share.high, 2)
    )
    given = {"station": pair.station, "base": pair.base, "share": written(share.ratio, 2), "days": days}
    if share.low <= 1 <= share.high:
        said = _(
            "{station} catches as much rain as {base} as far as {days} wet days tell: {share} of it, {interval}."
        )
        return Sentence(said.format(**given, interval=interval), False)
    signs, less = found.signs, share.ratio < 1
    said = _(SHARES["less" if less else "more", signs.told])
    often = signs.below if less else signs.above
    return Sentence(said.format(**given, interval=interval, often=often), signs.told)


def _too_dry(days: int) -> str:
    if not days:
        said = _(
            "Nothing can be said of rain yet: this span has no day with 1 mm or more and readings of both, and {fewest} are the fewest that tell."
        )
        return said.format(fewest=FEWEST)
    said = ngettext(
        "Nothing can be said of rain yet: this span has {days} day with 1 mm or more and readings of both, and {fewest} are the fewest that tell.",
        "Nothing can be said of rain yet: this span has {days} days with 1 mm or more and readings of both, and {fewest} are the fewest that tell.",
        days,
    )
    return said.format(days=days, fewest=FEWEST)


def line_words(pair: Pair, variable: str) -> list[tuple[str, str]]:
    """The line's figures, each with its interval."""
    found = pair.line
    if found is None or np.isnan(found.slope):
        return []
    value, error = (float(one) for one in found.at(zero(variable)))
    low, high = (bare(variable, value + side * SURE * error) for side in (-1, 1))
    half = SURE * found.slope_error
    slopes = _("{low} to {high}").format(
        low=written(found.slope - half, 3), high=written(found.slope + half, 3)
    )
    values = _("{low} to {high}").format(low=low, high=high)
    return [
        (_("Slope"), f"{written(found.slope, 3)} ({slopes})"),
        (_("At 0 {unit} of {base}").format(unit=unit(variable), base=pair.base), f"{bare(variable, value)} {unit(variable)} ({values})"),
        (_("Hours"), str(found.points)),
    ]  # fmt: skip


def _hours(pair: Pair) -> str:
    """On how many hours it stands, and whether many are left out: what is doubted is seldom a fair choice."""
    said = ngettext("{count} hour", "{count} hours", pair.hours).format(count=pair.hours)
    lone = int(np.isfinite(pair.values).any(axis=0).sum()) - pair.hours
    if lone <= MANY * pair.hours:
        return said
    return ngettext(
        "{hours}; {count} more has one of them only, so it may not hold in all weather",
        "{hours}; {count} more have one of them only, so it may not hold in all weather",
        lone,
    ).format(hours=said, count=lone)
