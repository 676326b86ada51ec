"""A station at one moment in a few plain words."""

import numpy as np

from network.pipeline.records.present import Present, Quantity
from network.quality.verdict import DOUBTFUL, WRONG, verdict_of
from network.science.variables import VARIABLES
from network.science.wind import beaufort, beaufort_words
from network.web.quantities import RAIN_LEAST, amount, compass, words_of

TENDENCY_WORDS = (
    "rising, then falling",
    "rising, then steady or rising more slowly",
    "rising",
    "falling or steady, then rising, or rising faster",
    "steady",
    "falling, then rising",
    "falling, then steady or falling more slowly",
    "falling",
    "steady or rising, then falling, or falling faster",
)
"""WMO code table 0200 (BUFR 0 10 063), figures 0 to 8."""


def sentence(seen: Present, past: bool) -> str:
    """The moment in a few plain words. What is called wrong is not said again, only that it is not believed."""
    parts = (_air(seen, past), _wind(seen), _rain(seen, past), _pressure(seen, past), _doubts(seen))
    return " ".join(filter(None, parts)) or "Nothing it said could be believed."


def _air(seen: Present, past: bool) -> str:
    temperature, humidity = _believed(seen, "air_temperature"), _believed(seen, "relative_humidity")
    damp = f"{amount('relative_humidity', humidity.value)} humidity" if humidity else ""
    if not temperature:
        return f"The air {'was' if past else 'is'} at {damp}." if damp else ""
    warm = f"It {'was' if past else 'is'} {amount('air_temperature', temperature.value)}"
    return f"{warm}, at {damp}." if damp else f"{warm}."


def _believed(seen: Present, name: str) -> Quantity | None:
    one = seen.quantities.get(name)
    return one if one and np.isfinite(one.value) and verdict_of(one.mark) != WRONG else None


def _wind(seen: Present) -> str:
    mean, gust = _believed(seen, "ten_minute_wind"), _believed(seen, "ten_minute_gust")
    if not mean:
        return ""
    words = str(beaufort_words(beaufort(mean.value)))
    if words == "calm":
        return "Calm."
    words = words if words == "light air" or words.endswith(("gale", "storm", "hurricane")) else f"a {words}"
    turned = _believed(seen, "ten_minute_direction")
    where = f" from the {compass(turned.value)}" if turned else ""
    gusts = (
        f", gusts to {amount('ten_minute_gust', gust.value)}" if gust and gust.value > mean.value + 1 else ""
    )
    return f"{words[:1].upper()}{words[1:]}{where}{gusts}."


def _rain(seen: Present, past: bool) -> str:
    today, rate = _believed(seen, "rain_today"), _believed(seen, "rain_intensity")
    if not today:
        return ""
    if today.value < RAIN_LEAST:
        return "No rain that day until then." if past else "No rain today."
    falling = rate and rate.value >= 0.1
    now = f", falling at {amount('rain_intensity', rate.value)}" if falling and rate else ""
    return f"{amount('rain_today', today.value)} of rain {'that day' if past else 'today'}{now}."


def _pressure(seen: Present, past: bool) -> str:
    level, change = _believed(seen, "sea_level_pressure"), _believed(seen, "pressure_tendency")
    if not level:
        return ""
    course = f", {TENDENCY_WORDS[seen.tendency_code]}" if change and seen.tendency_code is not None else ""
    return f"Pressure at sea level {'was' if past else 'is'} {amount('sea_level_pressure', level.value)}{course}."


def _doubts(seen: Present) -> str:
    measured = [q for n, q in seen.quantities.items() if n in VARIABLES and np.isfinite(q.value)]
    doubted = [words_of(q.name) for q in measured if verdict_of(q.mark) in (DOUBTFUL, WRONG)]
    if not doubted:
        return ""
    *others, last = doubted
    listed = f"{', '.join(others)} and {last}" if others else last
    return f"Not fully believed: {listed}."
