"""The day in a few true sentences: pure rules from trusted readings, which say also what nobody knows."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from math import isnan, nan

import numpy as np
from django.utils.translation import gettext as _

from network.science.rain import intensity_class
from network.science.wind import beaufort, beaufort_words, components, speed_and_direction
from network.web.quantities import bare, clock, compass, hour, rounded, written
from network.web.set_words import RAINING, TENDENCIES, WINDS

APART = 1.5
"""[K] From this far off the village's middle a station is named for it (our choice)."""

SLEET = 2.0
"""[°C] Below this a gauge may be catching snow, which it does not tell as it falls (common practice)."""

GUSTY = 3.0
"""[m/s] A gust is worth a word when it exceeds the mean by this much (our choice)."""


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
        return _("How warm it is cannot be said: no thermometer is trusted just now.")
    if len(known) == 1:
        [(name, value)] = known.items()
        if seen.present:
            said = _("It is {degrees} at {name}; no other thermometer is trusted.")
        else:
            said = _("It was {degrees} at {name}; no other thermometer is trusted.")
        return said.format(degrees=_degrees(value), name=name)
    middle = float(np.median(list(known.values())))
    degrees = _degrees(middle)
    if max(known.values()) - min(known.values()) > APART:
        degrees = _("about {amount}").format(amount=degrees)
    elsewhere = [
        _where(name, seen.elevations).format(degrees=_degrees(known[name]), name=name)
        for name in dict.fromkeys((min(known, key=known.__getitem__), max(known, key=known.__getitem__)))
        if abs(known[name] - middle) >= APART and written(known[name], 0) != written(middle, 0)
    ]
    said = (
        _("It is {degrees} in the village{elsewhere}.")
        if seen.present
        else _("It was {degrees} in the village{elsewhere}.")
    )
    return said.format(degrees=degrees, elsewhere=f", {listed(elsewhere)}" if elsewhere else "")


def _degrees(celsius: float, decimals: int = 0) -> str:
    return rounded("air_temperature", celsius, "Cel", decimals)


def _where(name: str, elevations: Mapping[str, float]) -> str:
    """'4 °C up at Hill Farm': the station's name, and whether it stands above or below most."""
    if name in elevations and len(elevations) >= 3:
        low, high = np.quantile(list(elevations.values()), [0.3, 0.7])
        if elevations[name] > high + 10:
            return _("{degrees} up at {name}")
        if elevations[name] < low - 10:
            return _("{degrees} down at {name}")
    return _("{degrees} at {name}")


def wind(seen: Seen) -> str:
    """Its force by the middle of the trusted stations, where it comes from, and the strongest gust."""
    if not seen.winds:
        return _("No trusted station tells of the wind.")
    speeds = np.array([speed for speed, _direction in seen.winds.values()])
    typical = float(np.median(speeds))
    name = str(beaufort_words(beaufort(typical)))
    if name == "calm":
        said = _("It is calm") if seen.present else _("It was calm")
    else:
        said = f"{_(WINDS[name])} {_from(seen.winds)}"
    return f"{said}{_gust(seen.gusts, typical)}."


def _from(winds: Mapping[str, tuple[float, float]]) -> str:
    said = np.array([pair for pair in winds.values() if not isnan(pair[1])]).reshape(-1, 2)
    if not len(said):
        return _("from no known direction")
    east, north = components(said[:, 0], said[:, 1])
    speed, direction = speed_and_direction(east.mean(), north.mean())
    if not float(speed) >= 0.5 * said[:, 0].mean() or isnan(float(direction)):
        return _("from changing directions")
    return _("from the {point}").format(point=compass(float(direction)))


def _gust(gusts: Mapping[str, float], typical: float) -> str:
    if not gusts:
        return ""
    name = max(gusts, key=gusts.__getitem__)
    if gusts[name] < typical + GUSTY:
        return ""
    return _(", gusts to {speed} at {name}").format(speed=rounded("wind_gust", gusts[name], "m/s"), name=name)


def rain(seen: Seen) -> str:
    """Whether it rains and since when not. Never dry while a trusted gauge is wet."""
    if not any(not isnan(gauge.lately) for gauge in seen.gauges.values()):
        return _("Whether it rains cannot be said: no gauge is trusted just now.")
    wet = {name: gauge for name, gauge in seen.gauges.items() if gauge.lately > 0}
    said = _raining(seen, wet) if wet else _dry(seen)
    amounts = [gauge.today for gauge in seen.gauges.values() if not isnan(gauge.today)]
    if not amounts or max(amounts) == 0:
        return f"{said}."
    return _("{said}; {amount} since midnight.").format(said=said, amount=_fell(min(amounts), max(amounts)))


def _fell(low: float, high: float) -> str:
    """From the least to the most that the gauges caught [mm]."""
    most = rounded("rain_amount", high, "mm", 1)
    if written(low, 1) == written(high, 1):
        return most
    if round(low, 1) == 0:
        return _("up to {most}").format(most=most)
    return _("{least} to {most}").format(least=bare("rain_amount", low, "mm", 1), most=most)


def _raining(seen: Seen, wet: Mapping[str, Gauge]) -> str:
    rates = [gauge.rate for gauge in wet.values() if not isnan(gauge.rate)]
    word = str(intensity_class(np.median(rates))) if rates else ""
    now, then = RAINING.get(word, RAINING[""])
    said = _(now if seen.present else then)
    if len(wet) > len(seen.gauges) / 2:
        return said
    return _("{raining} at {names}").format(raining=said, names=listed(list(wet)))


def _dry(seen: Seen) -> str:
    last = max((gauge.last_wet for gauge in seen.gauges.values() if gauge.last_wet), default=None)
    dry_since = _("since {time}").format(time=since(last, seen.at)) if last else _("for the last 24 hours")
    known = [value for value in seen.temperatures.values() if not isnan(value)]
    if not known or np.median(known) < SLEET:
        return _("No rain {since}, as far as gauges tell: they do not see snow").format(since=dry_since)
    if len(seen.gauges) == 1:
        return _("Dry {since} by the one gauge that is trusted").format(since=dry_since)
    return _("Dry {since}").format(since=dry_since)


def pressure(seen: Seen) -> str:
    """How the pressure moved over the last three hours, in words."""
    if isnan(seen.tendency):
        return _("How the pressure moves cannot be said.")
    size = round(abs(seen.tendency), 1)
    words = next(words for limit, words in TENDENCIES if size < limit)
    return _(words[2 * (seen.tendency < 0) + (not seen.present)])


def day(seen: Seen) -> str:
    """The lowest and the highest temperature of the day so far, or of the whole day once it is over."""
    if seen.low is None or seen.high is None:
        return ""
    (low, where, when), (high, there, then) = seen.low, seen.high
    if seen.day_over:
        text = _("Over the day from {low} ({where}, {when}) to {high} ({there}, {then}).")
    else:
        text = _("Since midnight from {low} ({where}, {when}) to {high} ({there}, {then}).")
    return text.format(
        low=_degrees(low, 1),
        where=where,
        when=hour(when),
        high=_degrees(high, 1),
        there=there,
        then=hour(then),
    )


def since(moment: datetime, at: datetime) -> str:
    """'09:40', '20:05 the evening before', or with its date."""
    if at.date() - moment.date() != timedelta(days=1):
        return clock(moment, at)
    text = _("{time} the evening before") if moment.hour >= 17 else _("{time} the day before")
    return text.format(time=hour(moment))


def listed(words: Iterable[str]) -> str:
    """'Mill, Green and Lane'."""
    *others, last = words
    return _("{others} and {last}").format(others=", ".join(others), last=last) if others else last
