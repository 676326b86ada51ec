"""What a comparison says in sentences, each with its evidence; or what is missing for one."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from network.pipeline.records.side_by_side import SURE, Pair, SideBySide, Told
from network.science.paired import CHANCE
from network.science.variables import VARIABLES
from network.web.compare.figures import bare, between, signed, unit, zero
from network.web.quantities import difference

FEWEST = 6
"""Occasions without which nothing is said: six of six is the least that chance does more rarely than one in twenty."""

MANY = 0.1
"""[1] From this share on, hours that only one of them has are told."""

MORE_LESS = {
    "air_temperature": ("warmer", "colder"),
    "relative_humidity": ("moister", "drier"),
    "wind_speed": ("windier", "calmer"),
    "irradiance": ("brighter", "darker"),
    "surface_wetness": ("wetter", "drier"),
}


@dataclass(frozen=True)
class Sentence:
    """One sentence; ``told`` where the evidence carries what it says of a place."""

    words: str
    told: bool


def sentences(compared: SideBySide, pair: Pair) -> list[Sentence]:
    """All there is to say of a pair, what the evidence carries first."""
    if not pair.hours:
        good = "good " if compared.only_good else ""
        return [
            Sentence(
                f"{pair.station} and {pair.base} have no hour in common with {good}readings of both.", False
            )
        ]
    said = [_rain(pair)] if pair.rain else [_mean(pair, compared.variable)]
    if pair.nights:
        said.append(_nights(compared, pair, pair.nights))
    if pair.afternoons:
        said.append(_afternoons(compared, pair, pair.afternoons))
    return sorted(said, key=lambda sentence: not sentence.told)


def _mean(pair: Pair, variable: str) -> Sentence:
    if VARIABLES[variable].summary == "direction":
        side = "further clockwise" if pair.mean > 0 else "further against the clock"
        words = f"{pair.station} points {difference(variable, pair.mean)} {side} than {pair.base}"
    else:
        words = f"{pair.station} is {_apart(variable, pair.mean)} than {pair.base}"
    if np.isnan(pair.error):
        return Sentence(f"{words}, over {_hours(pair)}: too short a time to say how surely.", False)
    low, high = pair.mean - SURE * pair.error, pair.mean + SURE * pair.error
    if low <= 0 <= high:
        return Sentence(
            f"On average {pair.station} and {pair.base} are alike: the difference lies between"
            f" {signed(variable, low)} and {signed(variable, high)}, over {_hours(pair)}.", False)  # fmt: skip
    by = between(variable, low, high)
    by = f", nine times in ten by {by}" if by else ""
    return Sentence(f"On average {words}{by}, over {_hours(pair)}.", True)


def _nights(compared: SideBySide, pair: Pair, told: Told) -> Sentence:
    where = "On clear calm nights"
    if missing := _missing(compared, pair, told, int(compared.nights.meant.sum()), "clear calm night"):
        return Sentence(missing, False)
    then = told.then
    if not then.told:
        return Sentence(
            f"{where} neither is reliably the colder: {pair.station} is on {then.below} of {then.size}.",
            False,
        )
    place = pair.station if then.median < 0 else pair.base
    return _of_the_place(
        f"{where} {_then(pair, told)}",
        told,
        "night",
        f"cold air gathers at {place} (or its thermometer lies open to the sky)",
    )


def _afternoons(compared: SideBySide, pair: Pair, told: Told) -> Sentence:
    where = "On sunny afternoons"
    if missing := _missing(compared, pair, told, int(compared.afternoons.meant.sum()), "sunny afternoon"):
        return Sentence(missing, False)
    then = told.then
    if not then.told:
        return Sentence(
            f"{where} neither is reliably the warmer: {pair.station} is on {then.above} of {then.size}.",
            False,
        )
    place = pair.station if then.median > 0 else pair.base
    takes = f"something at {place} takes up the sun: a wall, paving or an open shield"
    return _of_the_place(f"{where} {_then(pair, told)}", told, "afternoon", takes)


def _then(pair: Pair, told: Told) -> str:
    then = told.then
    often = then.below if then.median < 0 else then.above
    return (
        f"{pair.station} is {_apart('air_temperature', then.median)} than {pair.base}, {often} of {then.size}"
    )


def _of_the_place(words: str, told: Told, kind: str, cause: str) -> Sentence:
    """The others set against them: only a difference of differences tells of the place."""
    count, then, other = told.otherwise.size, told.then.median, told.otherwise.median
    if count < FEWEST:
        return Sentence(f"{words}; there are too few other {kind}s ({count}) to say why.", True)
    size = difference("air_temperature", other)
    same = then * other >= 0
    if told.unlike >= CHANCE or (same and abs(other) >= abs(then)):
        as_well = f"it is {size} as well" if same else f"it is {_apart('air_temperature', other)}"
        return Sentence(
            f"{words}; on the {count} other {kind}s {as_well}, which points to the instruments or the height"
            " more than to the place.", False)  # fmt: skip
    if size == difference("air_temperature", 0.0):
        others = "the two are alike"
    else:
        others = f"only {size}" if same else _apart("air_temperature", other)
    return Sentence(f"{words}; on the {count} other {kind}s {others}, so {cause}.", True)


def _missing(compared: SideBySide, pair: Pair, told: Told, there: int, kind: str) -> str:
    """Why nothing can be said of such occasions, or nothing."""
    around = compared.setting
    if told.then.size >= FEWEST:
        return ""
    if not around.light_by:
        return f"Of {kind}s nothing can be said: no station’s sunlight tells which they were."
    if "calm" in kind and not around.wind_by:
        return f"Of {kind}s nothing can be said: no station’s wind tells which they were."
    if there >= FEWEST:
        some = f"only {told.then.size}" if told.then.size else "none"
        both = f"{pair.station} and {pair.base}"
        lacking = (
            f"were the readings of both {both} good enough; look at all readings to see what was doubted"
            if compared.only_good
            else f"did both {both} report"
        )
        return f"Of {kind}s nothing can be said: on {some} of the {there} in this span {lacking}."
    some = f"{there} fell" if there else "none fell"
    return f"Of {kind}s nothing can be said yet: {some} in this span, and {FEWEST} are the fewest that tell."


def _rain(pair: Pair) -> Sentence:
    found = pair.rain
    assert found is not None
    share, days = found.share, found.share.size
    if days < FEWEST:
        some = f"{days or 'no'} day{'' if days == 1 else 's'}"
        return Sentence(
            f"Of rain nothing can be said yet: this span has {some} with 1 mm or more and readings of both,"
            f" and {FEWEST} are the fewest that tell.", False)  # fmt: skip
    interval = f"nine times in ten between {share.low:.2f} and {share.high:.2f}"
    if share.low <= 1 <= share.high:
        return Sentence(
            f"{pair.station} catches as much rain as {pair.base} as far as {days} wet days tell:"
            f" {share.ratio:.2f} of it, {interval}.", False)  # fmt: skip
    signs, less = found.signs, share.ratio < 1
    often, than = (signs.below, "less") if less else (signs.above, "more")
    words = f"{pair.station} catches {share.ratio:.2f} of the rain of {pair.base}, over {days} wet days ({interval}),"
    if not signs.told:
        return Sentence(
            f"{words} but {than} on only {often} of them: a few days decide, which tells nothing of the place.",
            False,
        )
    return Sentence(f"{words} {than} on {often} of them.", True)


def criteria(compared: SideBySide) -> Iterator[str]:
    """How the occasions were told, and by whose readings."""
    around = compared.setting
    if compared.pairs and compared.pairs[0].nights:
        light, wind = _names(around.light_by), _names(around.wind_by)
        yield (
            "A night counts as clear up to midnight where the afternoon before had at least three quarters of a clear"
            " sky’s light, and from midnight where the morning after had (Haurwitz 1945 for the clear sky, with the sun"
            f" above 10°; the rest common practice). The brightest of {light} told."
        )
        yield (
            "It counts as calm below 3 m/s at ten metres, the wind of the stablest nights (Pasquill 1961)."
            f" {wind} told, brought to ten metres as over open ground."
        )
        yield "A sunny afternoon had that light from noon by the sun until the sun stood below 10°."
        yield (
            "Said is what a sign test finds rarer by chance than one in twenty (Conover 1999), and as the place’s only"
            " what a rank test finds unlike other nights or afternoons (Mann and Whitney 1947)."
        )
    if compared.pairs and compared.pairs[0].rain:
        yield (
            "A day is wet from 1 mm at either gauge on (climatological practice), and counts where both gauges have two"
            " thirds of its hours. The interval is that of a ratio of totals"
            " (Cochran 1977); said of the place is only what a sign test over the days bears out too (Conover 1999)."
        )
    if compared.pairs and not compared.pairs[0].rain:
        yield "The interval of a mean counts how long differences last (Wilks 2011)."


def line_words(pair: Pair, variable: str) -> list[tuple[str, str]]:
    """The line's figures, each with its interval."""
    found = pair.line
    if found is None or np.isnan(found.slope):
        return []
    value, error = (float(one) for one in found.at(zero(variable)))
    low, high = (bare(variable, value + side * SURE * error) for side in (-1, 1))
    half = SURE * found.slope_error
    return [
        ("Slope", f"{found.slope:.3f} ({found.slope - half:.3f} to {found.slope + half:.3f})"),
        (
            f"At 0 {unit(variable)} of {pair.base}",
            f"{bare(variable, value)} {unit(variable)} ({low} to {high})",
        ),
        ("Hours", str(found.points)),
    ]


def _apart(variable: str, value: float) -> str:
    more, less = MORE_LESS.get(variable, ("higher", "lower"))
    return f"{difference(variable, value)} {more if value > 0 else less}"


def _hours(pair: Pair) -> str:
    """On how many hours it stands, and whether many are left out: what is doubted is seldom a fair choice."""
    said = f"{pair.hours} hour{'' if pair.hours == 1 else 's'}"
    lone = int(np.isfinite(pair.values).any(axis=0).sum()) - pair.hours
    if lone <= MANY * pair.hours:
        return said
    return f"{said}; {lone} more have one of them only, so it may not hold in all weather"


def _names(names: list[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names) or "no station"
