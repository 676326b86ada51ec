"""The day in a few true sentences: pure rules from trusted readings, which say also what nobody knows."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from math import isnan, nan

import numpy as np

from network.science.rain import intensity_class
from network.science.wind import beaufort, beaufort_words, components, speed_and_direction
from network.web.quantities import clock, compass, written

APART = 1.5
"""[K] From this far off the village's middle a station is named for it (our choice)."""

SLEET = 2.0
"""[°C] Below this a gauge may be catching snow, which it does not tell as it falls (common practice)."""

GUSTY = 3.0
"""[m/s] A gust is worth a word when it exceeds the mean by this much (our choice)."""

TENDENCIES = ((0.1, ""), (1.6, " slowly"), (3.6, ""), (6.05, " quickly"), (np.inf, " very rapidly"))
"""[hPa in three hours] The words of the Met Office's marine forecasts glossary (from memory)."""

# A figure and its unit stay on one line.
DEGREES, METRES_A_SECOND, MILLIMETRES = (f"\N{NO-BREAK SPACE}{unit}" for unit in ("°C", "m/s", "mm"))

COUNTS = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]


@dataclass(frozen=True)
class Gauge:
    """What one trusted rain gauge says."""

    lately: float  # [mm] in the last ten minutes; NaN when it has not reported in them
    rate: float  # [mm/h]
    today: float  # [mm] since midnight; NaN when too much of it is missing
    last_wet: datetime | None  # the last report with rain in it, of the last 24 hours


@dataclass(frozen=True)
class Seen:
    """What the village knows at a moment, by the names of its stations. Trusted readings only."""

    at: datetime
    present: bool = True
    stations: int = 0
    temperatures: Mapping[str, float] = field(default_factory=dict)  # [°C]
    elevations: Mapping[str, float] = field(default_factory=dict)  # [m], of those whose place is open
    winds: Mapping[str, tuple[float, float]] = field(default_factory=dict)  # [m/s at 10 m, degrees from]
    gusts: Mapping[str, float] = field(default_factory=dict)  # [m/s]
    gauges: Mapping[str, Gauge] = field(default_factory=dict)
    tendency: float = nan  # [hPa in three hours]
    doubted: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # what is not believed
    silent: Mapping[str, datetime | None] = field(default_factory=dict)  # last heard, if today
    day_over: bool = False
    low: tuple[float, str, datetime] | None = None  # [°C] of the day, as far as it goes
    high: tuple[float, str, datetime] | None = None


def sentences(seen: Seen) -> list[str]:
    """The weather at a moment, in order: temperature, wind, rain, pressure."""
    said = (temperature(seen), wind(seen), rain(seen), pressure(seen))
    return [sentence for sentence in said if sentence]


def temperature(seen: Seen) -> str:
    """How warm it is in the village, and where it differs."""
    known = {name: value for name, value in seen.temperatures.items() if not isnan(value)}
    if not known:
        return "How warm it is cannot be said: no thermometer is trusted just now."
    verb = "is" if seen.present else "was"
    if len(known) == 1:
        [(name, value)] = known.items()
        return f"It {verb} {written(value, 0)}{DEGREES} at {name}; no other thermometer is trusted."
    middle = float(np.median(list(known.values())))
    about = "about " if max(known.values()) - min(known.values()) > APART else ""
    elsewhere = [
        f"{written(known[name], 0)}{DEGREES} {_where(name, seen.elevations)}"
        for name in dict.fromkeys((min(known, key=known.__getitem__), max(known, key=known.__getitem__)))
        if abs(known[name] - middle) >= APART and written(known[name], 0) != written(middle, 0)
    ]
    tail = f", {_listed(elsewhere)}" if elsewhere else ""
    return f"It {verb} {about}{written(middle, 0)}{DEGREES} in the village{tail}."


def _where(name: str, elevations: Mapping[str, float]) -> str:
    """'up at Hill Farm': the station's name, and whether it stands above or below most."""
    if name not in elevations or len(elevations) < 3:
        return f"at {name}"
    low, high = np.quantile(list(elevations.values()), [0.3, 0.7])
    if elevations[name] > high + 10:
        return f"up at {name}"
    return f"down at {name}" if elevations[name] < low - 10 else f"at {name}"


def wind(seen: Seen) -> str:
    """Its force by the middle of the trusted stations, where it comes from, and the strongest gust."""
    if not seen.winds:
        return "No trusted station tells of the wind."
    speeds = np.array([speed for speed, _ in seen.winds.values()])
    typical = float(np.median(speeds))
    name = str(beaufort_words(beaufort(typical)))
    if name == "calm":
        said = "It is calm" if seen.present else "It was calm"
    else:
        said = f"{name.capitalize() if name == 'light air' else 'A ' + name} {_from(seen.winds)}"
    return f"{said}{_gust(seen.gusts, typical)}."


def _from(winds: Mapping[str, tuple[float, float]]) -> str:
    said = np.array([pair for pair in winds.values() if not isnan(pair[1])]).reshape(-1, 2)
    if not len(said):
        return "from no known direction"
    east, north = components(said[:, 0], said[:, 1])
    speed, direction = speed_and_direction(east.mean(), north.mean())
    if not float(speed) >= 0.5 * said[:, 0].mean() or isnan(float(direction)):
        return "from changing directions"
    return f"from the {compass(float(direction))}"


def _gust(gusts: Mapping[str, float], typical: float) -> str:
    if not gusts:
        return ""
    name = max(gusts, key=gusts.__getitem__)
    return (
        f", gusts to {written(gusts[name], 0)}{METRES_A_SECOND} at {name}"
        if gusts[name] >= typical + GUSTY
        else ""
    )


def rain(seen: Seen) -> str:
    """Whether it rains and since when not. Never dry while a trusted gauge is wet."""
    if not any(not isnan(gauge.lately) for gauge in seen.gauges.values()):
        return "Whether it rains cannot be said: no gauge is trusted just now."
    wet = {name: gauge for name, gauge in seen.gauges.items() if gauge.lately > 0}
    said = _raining(seen, wet) if wet else _dry(seen)
    amounts = [gauge.today for gauge in seen.gauges.values() if not isnan(gauge.today)]
    if not amounts or max(amounts) == 0:
        return f"{said}."
    low, high = written(min(amounts), 1), written(max(amounts), 1)
    span = high if low == high else f"up to {high}" if low == "0.0" else f"{low} to {high}"
    return f"{said}; {span}{MILLIMETRES} since midnight."


def _raining(seen: Seen, wet: Mapping[str, Gauge]) -> str:
    verb = "is raining" if seen.present else "was raining"
    rates = [gauge.rate for gauge in wet.values() if not isnan(gauge.rate)]
    word = str(intensity_class(np.median(rates))) if rates else ""
    how = {"light": " lightly", "heavy": " heavily", "violent": " violently"}.get(word, "")
    where = "" if len(wet) > len(seen.gauges) / 2 else f" at {_listed(list(wet))}"
    return f"It {verb}{how}{where}"


def _dry(seen: Seen) -> str:
    last = max((gauge.last_wet for gauge in seen.gauges.values() if gauge.last_wet), default=None)
    since = f"since {_since(last, seen.at)}" if last else "for the last 24 hours"
    known = [value for value in seen.temperatures.values() if not isnan(value)]
    if not known or np.median(known) < SLEET:
        return f"No rain {since}, as far as gauges tell: they do not see snow"
    only = " by the one gauge that is trusted" if len(seen.gauges) == 1 else ""
    return f"Dry {since}{only}"


def pressure(seen: Seen) -> str:
    """How the pressure moved over the last three hours, in words."""
    if isnan(seen.tendency):
        return "How the pressure moves cannot be said."
    size = round(abs(seen.tendency), 1)
    if size < TENDENCIES[0][0]:
        return f"Pressure {'is' if seen.present else 'was'} steady."
    pace = next(words for limit, words in TENDENCIES[1:] if size < limit)
    verb = "is" if seen.present else "was"
    return f"Pressure {verb} {'rising' if seen.tendency > 0 else 'falling'}{pace}."


def belief(seen: Seen) -> list[str]:
    """Which stations are not believed, and from which nothing newer is known: their clocks may be slow."""
    said = []
    if seen.doubted:
        whom = ", ".join(f"{name} ({_listed(list(what))})" for name, what in seen.doubted.items())
        one = len(seen.doubted) == 1
        are = ("is" if one else "are") if seen.present else ("was" if one else "were")
        now = " just now" if seen.present else ""
        said.append(f"{_counted(len(seen.doubted), seen.stations)} {are} not believed{now}: {whom}.")
    for last in sorted(set(seen.silent.values()), key=str):
        names = [name for name, heard in seen.silent.items() if heard == last]
        whose = f"The last reading{'s' * (len(names) > 1)} of {_listed(names)}"
        be = ("is", "are") if seen.present else ("was", "were")
        when = f"of {_since(last, seen.at)}" if last else "a day old or older"
        said.append(f"{whose} {be[len(names) > 1]} {when}.")
    return said


def day(seen: Seen) -> str:
    """The lowest and the highest temperature of the day so far, or of the whole day once it is over."""
    if seen.low is None or seen.high is None:
        return ""
    (low, where, when), (high, there, then) = seen.low, seen.high
    return (
        f"{'Over the day' if seen.day_over else 'Since midnight'} from {written(low, 1)}{DEGREES} ({where}, {when:%H:%M}) "
        f"to {written(high, 1)}{DEGREES} ({there}, {then:%H:%M})."
    )


def _counted(some: int, whole: int) -> str:
    def word(count: int) -> str:
        return COUNTS[count] if count < len(COUNTS) else str(count)

    return f"{word(some).capitalize()} of {word(whole)} station{'' if whole == 1 else 's'}"


def _since(moment: datetime, at: datetime) -> str:
    """'09:40', '20:05 the evening before', or with its date."""
    if at.date() - moment.date() == timedelta(days=1):
        return f"{moment:%H:%M} the {'evening' if moment.hour >= 17 else 'day'} before"
    return clock(moment, at)


def _listed(words: Iterable[str]) -> str:
    *others, last = words
    return f"{', '.join(others)} and {last}" if others else last
