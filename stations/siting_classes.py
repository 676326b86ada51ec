"""Siting classes in plain words: what each asks of the surroundings of an instrument, and how high it should stand.

After WMO-No. 8, volume I, chapter 1, annex, and ISO 19289. Temperature and the angles at a gauge were read
second-hand; distances at a gauge, wind and sunlight are from memory. The originals decide.
"""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Classification:
    """How the surroundings of some variables are classed, best first."""

    variables: tuple[str, ...]
    instrument: str
    height: str
    look_for: str
    classes: tuple[str, ...]  # of 1 to 5; empty where the guide has none


WARMTH = Classification(
    variables=("air_temperature", "relative_humidity"),
    instrument="thermometer or hygrometer",
    height="1.25 to 2 m above the ground, in a shield that lets air through.",
    look_for="What lies around it: grass, paving, water, walls that store the sun; and when it is in shade.",
    classes=(
        "Level, open ground under short grass (below 10 cm); walls, paving and water 100 m away or more; no shade "
        "on it unless the sun is lower than 5°.",
        "Short grass (below 10 cm); walls, paving and water 30 m away or more; no shade on it unless the sun is "
        "lower than 7°.",
        "Grass below 25 cm; walls, paving and water 10 m away or more; no shade on it unless the sun is lower "
        "than 7°. Its surroundings may falsify it by up to 1 °C.",
        "Walls or paving closer, but covering less than half of a 10 m circle and less than 30 % of a 3 m circle; no "
        "shade unless the sun is lower than 20°. Up to 2 °C.",
        "Closer still: at a wall, on a balcony or a roof, over paving. Up to 5 °C.",
    ),
)
WIND = Classification(
    variables=("wind_speed", "wind_gust", "wind_from_direction"),
    instrument="wind instrument",
    height="10 m over open ground; lower is common in a village: write down how high it really is.",
    look_for="How far away houses, trees and hedges are, in multiples of how high they are.",
    classes=(
        "Open on all sides: every obstacle at least 30 times as far away as it is high.",
        "Every obstacle at least 10 times as far away as it is high.",
        "Every obstacle at least 5 times as far away as it is high.",
        "Every obstacle at least 2½ times as far away as it is high.",
        "Obstacles closer than that: between houses, beside trees, just above a roof.",
    ),
)
RAIN = Classification(
    variables=("rain_amount",),
    instrument="rain gauge",
    height="the rim level, 0.3 to 1.5 m above the ground: clear of splashes and low in the wind.",
    look_for="How far away trees, walls and roofs are, in multiples of how high they rise above the rim.",
    classes=(
        "Sheltered from wind by an even ring of low things 2 to 4 times as far away as they are high, on ground that "
        "is nearly level; or a gauge with its own wind shield and everything at least 4 times as far as high.",
        "Everything at least twice as far away as it rises above the rim (it reaches no higher than 26°).",
        "Everything at least as far away as it rises above the rim (no higher than 45°).",
        "Everything at least half as far away as it rises above the rim (no higher than 63°).",
        "Something closer than that: under a tree, at a wall, on a roof.",
    ),
)
SUNLIGHT = Classification(
    variables=("irradiance", "light_level"),
    instrument="light sensor",
    height="any height from which it can be cleaned, level, with a free view of the sky.",
    look_for="What casts a shadow on it, and how high the sun stands then, in summer and in winter.",
    classes=(
        "No shadow falls on it while the sun is higher than 5°.",
        "No shadow falls on it while the sun is higher than 7°.",
        "No shadow falls on it while the sun is higher than 10°.",
        "In shadow for up to 30 % of the daytime on the worst day of the year.",
        "In shadow for more than 30 % of the daytime on some day of the year.",
    ),
)
UNCLASSED = Classification(
    variables=(),
    instrument="instrument",
    height="wherever suits it; write down how high that is.",
    look_for="Anything that could falsify it: warmth, draughts, splashes, shelter. The guide has no classes for it.",
    classes=(),
)


def classification(variable: str) -> Classification:
    """How the surroundings of a variable are classed."""
    found = (each for each in (WARMTH, WIND, RAIN, SUNLIGHT) if variable in each.variables)
    return next(found, UNCLASSED)


def alike(variable: str, among: Iterable[str]) -> list[str]:
    """Those of ``among`` whose surroundings are classed by the same rules as the variable's."""
    return [name for name in among if name != variable and name in classification(variable).variables]


def next_better(variable: str, siting_class: int | None) -> str:
    """What the class above would ask; empty where there is none."""
    classes = classification(variable).classes
    return classes[siting_class - 2] if classes and siting_class and siting_class > 1 else ""
