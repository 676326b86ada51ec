"""Which rules hold for which variables, and the working out of a class."""

from collections.abc import Mapping
from dataclasses import dataclass

from network.science.siting import rain, sunlight, warmth, wind
from network.science.siting.assessment import Assessment, Changes, Rules, weigh
from network.science.siting.surroundings import Surroundings


@dataclass(frozen=True)
class Family:
    """Variables that stand under the same rules."""

    variables: tuple[str, ...]
    rules: Rules
    changes: Changes


FAMILIES: Mapping[str, Family] = {
    "warmth": Family(("air_temperature", "relative_humidity"), warmth.rules, warmth.changes),
    "rain": Family(("rain_amount",), rain.rules, rain.changes),
    "wind": Family(("wind_speed", "wind_gust", "wind_from_direction"), wind.rules, wind.changes),
    "sunlight": Family(("irradiance", "light_level"), sunlight.rules, sunlight.changes),
}


def family_of(variable: str) -> str:
    """The family of a variable; empty where the guide has no classes for it."""
    return next((name for name, family in FAMILIES.items() if variable in family.variables), "")


def assess(variable: str, surroundings: Surroundings) -> Assessment:
    """The siting class of a variable, why, and the one change that would gain most.

    Parameters
    ----------
    variable : str
        One of those that a family of ``FAMILIES`` names.
    surroundings : Surroundings
        What has been told; what has not is None, and then asked for among the findings.

    Raises
    ------
    ValueError
        Where the guide has no classes for the variable.

    Source: WMO-No. 8, volume I, annex 1.D; ISO 19289. Each family's module says how its limits are known.
    """
    name = family_of(variable)
    if not name:
        raise ValueError(f"The guide has no siting classes for '{variable}': use one of {_all()}.")
    return weigh(surroundings, FAMILIES[name].rules, FAMILIES[name].changes)


def _all() -> str:
    return ", ".join(variable for family in FAMILIES.values() for variable in family.variables)
