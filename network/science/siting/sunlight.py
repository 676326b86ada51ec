"""Siting of light sensors: what casts a shadow on them, and what throws light on them."""

from collections.abc import Iterator
from dataclasses import replace

from network.science.siting.assessment import Change, Finding
from network.science.siting.shade import worst_share
from network.science.siting.surroundings import Surroundings
from network.science.siting.warmth import USUAL_HEIGHT, shade_angle

SHADE = {1: 5.0, 2: 7.0, 3: 10.0}
"""[deg] No shade while the sun is higher, by class."""

SHADE_FAR_NORTH = {1: 3.0, 2: 5.0, 3: 7.0}
"""[deg] The same from 60° of latitude on, where the sun stands low."""

WORST_SHARE = 0.30
"""Of the daytime, on the worst day: as much shade as class 4 allows."""


def rules(here: Surroundings) -> tuple[Finding, ...]:
    """What each rule makes of the surroundings of a light sensor.

    Source: WMO-No. 8, volume I, annex 1.D (ISO 19289), global and diffuse radiation: angles from memory; the 30 % of
    class 4 read, in the list for direct radiation.
    """
    return _shade(here), _bright(here)


def _shade(here: Surroundings) -> Finding:
    angle = shade_angle(here, USUAL_HEIGHT)
    if angle is None:
        return Finding(None, "What stands in each direction, and how high is it?", "around")
    limits = SHADE_FAR_NORTH if abs(here.latitude) >= 60 else SHADE
    number = next((number for number, most in limits.items() if angle <= most), 4)
    if number == 1:
        return Finding(1, f"Shade falls on it only while the sun is lower than {limits[1]:.0f}°.")
    words = f"Something shades it while the sun stands up to {min(angle, 90):.0f}° high"
    if number < 4:
        return Finding(number, f"{words}.")
    share = _share(here)
    if share is None:
        return Finding(None, f"{words}: for how much of the worst day?", "shade")
    return Finding(
        4 if share <= WORST_SHARE else 5, f"{words}, on the worst day for {100 * share:.0f} % of the daytime."
    )


def _share(here: Surroundings) -> float | None:
    if here.shaded_share is not None:
        return here.shaded_share
    if here.obstacles is None:
        return None
    above = USUAL_HEIGHT if here.height is None else here.height
    return worst_share(here.obstacles, here.latitude, above)


def _bright(here: Surroundings) -> Finding:
    if here.bright is None:
        return Finding(None, "Does anything throw light on it?", "bright")
    if here.bright == 1:
        return Finding(1, "No white wall or glass throws light on it.")
    return Finding(here.bright, "A bright wall, glass or roof throws light on it.")


def changes(here: Surroundings) -> Iterator[Change]:
    """What a household could do for its light sensor, the easiest first."""
    angle = shade_angle(here, USUAL_HEIGHT)
    limits = SHADE_FAR_NORTH if abs(here.latitude) >= 60 else SHADE
    if angle is not None and angle > limits[1]:
        highest = max(
            here.obstacles or (), key=lambda one: one.elevation(here.height or USUAL_HEIGHT), default=None
        )
        if highest is not None and here.shade is None:
            rest = tuple(one for one in here.obstacles or () if one is not highest)
            verb = "Cut" if highest.grows else "Stand it clear of"
            words = f"{verb} {highest.words}, which reaches highest."
            yield Change(words, replace(here, obstacles=rest))
        most = next(each for each in sorted(limits.values(), reverse=True) if angle > each)
        words = f"Stand it where nothing reaches higher than {most:.0f}° above the horizon."
        yield Change(words, replace(here, shade=most, shaded_share=0.0))
    if here.bright is not None and here.bright > 1:
        yield Change("Turn to another wall, or away from what throws light on it.", replace(here, bright=1))
