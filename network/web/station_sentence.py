"""A station at one moment in a few plain words."""

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.pipeline.records.present import Present, Quantity
from network.quality.verdict import DOUBTFUL, WRONG, verdict_of
from network.science.variables import VARIABLES
from network.science.wind import beaufort, beaufort_words
from network.web.quantities import RAIN_LEAST, amount, compass, words_of
from network.web.sentences import listed
from network.web.set_words import WINDS

TENDENCY_WORDS = (
    gettext_noop("rising, then falling"),
    gettext_noop("rising, then steady or rising more slowly"),
    gettext_noop("rising"),
    gettext_noop("falling or steady, then rising, or rising faster"),
    gettext_noop("steady"),
    gettext_noop("falling, then rising"),
    gettext_noop("falling, then steady or falling more slowly"),
    gettext_noop("falling"),
    gettext_noop("steady or rising, then falling, or falling faster"),
)
"""WMO code table 0200 (BUFR 0 10 063), figures 0 to 8."""


def sentence(seen: Present, past: bool) -> str:
    """The moment in a few plain words. What is called wrong is not said again, only that it is not believed."""
    parts = (_air(seen, past), _wind(seen), _rain(seen, past), _pressure(seen, past), _doubts(seen))
    return " ".join(filter(None, parts)) or _("Nothing it said could be believed.")


def _air(seen: Present, past: bool) -> str:
    temperature, humidity = _believed(seen, "air_temperature"), _believed(seen, "relative_humidity")
    damp = amount("relative_humidity", humidity.value) if humidity else ""
    if not temperature:
        said = _("The air was at {damp} humidity.") if past else _("The air is at {damp} humidity.")
        return said.format(damp=damp) if damp else ""
    if damp:
        said = _("It was {warm}, at {damp} humidity.") if past else _("It is {warm}, at {damp} humidity.")
    else:
        said = _("It was {warm}.") if past else _("It is {warm}.")
    return said.format(warm=amount("air_temperature", temperature.value), damp=damp)


def _believed(seen: Present, name: str) -> Quantity | None:
    one = seen.quantities.get(name)
    return one if one and np.isfinite(one.value) and verdict_of(one.mark) != WRONG else None


def _wind(seen: Present) -> str:
    mean, gust = _believed(seen, "ten_minute_wind"), _believed(seen, "ten_minute_gust")
    if not mean:
        return ""
    words = str(beaufort_words(beaufort(mean.value)))
    if words == "calm":
        return _("Calm.")
    said = _(WINDS[words])
    if turned := _believed(seen, "ten_minute_direction"):
        said += " " + _("from the {point}").format(point=compass(turned.value))
    if gust and gust.value > mean.value + 1:
        said += _(", gusts to {speed}").format(speed=amount("ten_minute_gust", gust.value))
    return f"{said}."


def _rain(seen: Present, past: bool) -> str:
    today, rate = _believed(seen, "rain_today"), _believed(seen, "rain_intensity")
    if not today:
        return ""
    if today.value < RAIN_LEAST:
        return _("No rain that day until then.") if past else _("No rain today.")
    said = _("{fallen} of rain that day") if past else _("{fallen} of rain today")
    if rate and rate.value >= 0.1:
        said += _(", falling at {rate}")
    now = amount("rain_intensity", rate.value) if rate else ""
    return said.format(fallen=amount("rain_today", today.value), rate=now) + "."


def _pressure(seen: Present, past: bool) -> str:
    level, change = _believed(seen, "sea_level_pressure"), _believed(seen, "pressure_tendency")
    if not level:
        return ""
    said = _("Pressure at sea level was {level}") if past else _("Pressure at sea level is {level}")
    course = f", {_(TENDENCY_WORDS[seen.tendency_code])}" if change and seen.tendency_code is not None else ""
    return f"{said.format(level=amount('sea_level_pressure', level.value))}{course}."


def _doubts(seen: Present) -> str:
    measured = [q for n, q in seen.quantities.items() if n in VARIABLES and np.isfinite(q.value)]
    doubted = [words_of(q.name) for q in measured if verdict_of(q.mark) in (DOUBTFUL, WRONG)]
    return _("Not fully believed: {what}.").format(what=listed(doubted)) if doubted else ""
