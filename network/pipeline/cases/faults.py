"""Which evidence is of one fault, which check says it best, and what follows from another fault."""

from collections.abc import Iterable

from network.models import Case, Evidence
from network.quality.checks import CHECKS
from network.quality.verdict import TOLD_OTHERWISE, WRONG

HARM = {"": 1.5, "air_temperature": 1.0, "rain_amount": 1.0, "dew_point": 0.3, "sea_level_pressure": 0.5}
"""How much a false reading of a variable spoils what others see; 0.7 where not named. Common practice."""

THAT = ("departure", "climate", "step", "spike", "noise", "variance_collapsed", "still_alone")
"""Checks that say no more than that something is off, not what."""

BY_HOW_MUCH = ("break_point", "offset", "drift")
"""Checks that say by how much, and not why."""

OFTEN_ENOUGH = 0.25
"""Share of the loudest check's readings from which a check that names the cause is heard before it."""

NO_SLIP = 6
"""Readings from which one believes that they are in another unit, and not a slip of one report."""

FOLLOWS = {
    "dew_point": ("air_temperature", "relative_humidity"),
    "sea_level_pressure": ("air_temperature", "station_pressure"),
    "station_pressure": ("air_temperature",),
    "wind_gust": ("wind_speed",),
}
"""What is false because something else is: a case about the first is part of an open case about the others."""

_BY_THE_SUN = ("daytime_bias", "shaded", "light_at_night", "light_above_clear_sky")
BRINGS = {
    "clock": (*THAT, *_BY_THE_SUN, "rain_alone", "rain_missed", "rain_in_dry_air"),
    "moved": (*THAT, *_BY_THE_SUN, "break_point", "offset", "drift", "wind_by_direction",
              "pressure_for_elevation"),
    "supply": (*THAT, "stuck", "break_point", "offset", "drift"),
}  # fmt: skip
"""What a fault of the station itself lets other checks say of its variables."""


def fault_of(one: Evidence) -> tuple[str, str]:
    """The variable a piece of evidence is about; of the station itself none, and the check instead."""
    check = CHECKS.get(one.check_name)
    return ("", one.check_name) if check is not None and check.of_station else (one.variable, "")


def readings_by_check(episode: Iterable[Evidence]) -> dict[str, int]:
    """How many readings each check spoke about; what it said of several variables at once counts once."""
    counted: dict[tuple[str, str], int] = {}
    for one in episode:
        key = one.check_name, one.variable
        counted[key] = counted.get(key, 0) + one.readings
    most: dict[str, int] = {}
    for (name, _), readings in counted.items():
        most[name] = max(readings, most.get(name, 0))
    return most


def loudest(by_check: dict[str, int]) -> str:
    """The check whose sentence and advice stand for the case: of those that name a cause, where one is heard.

    One that knows what the readings are instead comes before all, then one that decides by itself.
    """
    enough = OFTEN_ENOUGH * max(by_check.values())
    often = [name for name, readings in by_check.items() if readings >= enough]
    if "spike" in often and "step" in often:
        often.remove("step")  # a spike is a step up and a step down
    if "drift" in often and "break_point" in often:
        often.remove("break_point")  # a drift of which little is seen yet looks like a break
    if "catch" in often and {"rain_alone", "rain_in_dry_air"} & set(often):
        often.remove("catch")  # what fell from no cloud is no matter of the funnel
    otherwise = [name for name in often if name in TOLD_OTHERWISE and by_check[name] >= NO_SLIP]
    naming = [name for name in often if name not in (*THAT, *BY_HOW_MUCH)]
    heard = otherwise or naming or [name for name in often if name in BY_HOW_MUCH] or often
    return max(heard, key=lambda name: (name in CHECKS and CHECKS[name].decisive, by_check[name], name))


def confidence(verdict: int, checks: Iterable[str]) -> float:
    """How sure it is that there is a fault: one family that doubts is as often wrong as right."""
    families = {CHECKS[name].family for name in checks if name in CHECKS}
    return 1.0 if verdict == WRONG else 1.0 - 0.5 ** max(len(families), 1)


COUNTS = {
    1: "one kind of check",
    2: "two kinds of check",
    3: "three kinds of check",
    4: "four kinds of check",
}


def how_sure(verdict: int, checks: Iterable[str]) -> str:
    """How many kinds of check speak, and whether that makes the readings wrong."""
    names = [name for name in checks if name in CHECKS]
    kinds = {CHECKS[name].family for name in names}
    said = COUNTS.get(len(kinds), f"{len(kinds)} kinds of check")
    if verdict != WRONG:
        return f"not sure: {said} alone" if len(kinds) == 1 else f"not sure: {said}"
    if any(CHECKS[name].decisive for name in names):
        return "sure: such a value decides by itself"
    return f"fairly sure: {said}, strongly" if len(kinds) == 1 else f"sure: {said} agree"


def spoke_of(case: Case) -> set[str]:
    """The checks that spoke of a case."""
    if not case.variable:
        return {case.check_name}
    seen = Evidence.objects.filter(
        station=case.station_id,
        variable=case.variable,
        begins_at__lte=case.ends_at,
        ends_at__gte=case.begins_at,
    )
    return {case.check_name, *seen.values_list("check_name", flat=True)}


def follows(case: Case, other: Case, apart: int) -> bool:
    """Whether the case is no more than what the other one brings about; ``apart`` [s] may lie between them."""
    if other.begins_at - apart > case.begins_at or case.ends_at > other.ends_at + apart:
        return False
    if not other.variable:
        return bool(case.variable) and case.check_name in BRINGS.get(other.check_name, THAT)
    return other.variable in FOLLOWS.get(case.variable, ())
