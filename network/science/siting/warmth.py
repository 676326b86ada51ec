"""Siting of thermometers and hygrometers: slope, ground, warm surfaces and shade."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from network.science.siting.assessment import Change, Finding
from network.science.siting.shade import highest_shade
from network.science.siting.surroundings import Surroundings

CLEAR = {1: 100.0, 2: 30.0, 3: 10.0}
"""[m] Distance to warm surfaces and water, by class."""

SHARES: dict[int, tuple[tuple[int, int, float], ...]] = {
    1: ((100, 0, 0.10), (30, 10, 0.05), (10, 0, 0.01)),
    2: ((30, 0, 0.10), (10, 5, 0.05), (5, 0, 0.01)),
    3: ((10, 0, 0.10), (5, 0, 0.05)),
    4: ((10, 0, 0.50), (3, 0, 0.30)),
}
"""By class: of the circle of this radius [m], outside this one [m], such surfaces cover at most this share."""

SHADE = {1: 5.0, 2: 7.0, 4: 20.0}
"""[deg] No shade while the sun is higher, by class; class 3 asks what class 2 does."""

SHORT, KNEE_HIGH = 0.10, 0.25
"""[m] Height of plants."""

USUAL_HEIGHT = 1.5
"""[m] Where a thermometer stands if nobody has said."""


def rules(here: Surroundings) -> tuple[Finding, ...]:
    """What each rule makes of the surroundings of a thermometer.

    Source: WMO-No. 8, volume I, annex 1.D (ISO 19289), temperature and humidity: read second-hand. That a surface
    within the distance counts only where it covers more than the share: from memory.
    """
    return slope(here), _ground(here), _warm(here), _shade(here)


def slope(here: Surroundings, steep: int = 3) -> Finding:
    """The slope: class 1 up to a third; ``steep`` beyond."""
    if here.slope is None:
        return Finding(None, "How steep is the ground?", "slope")
    if here.slope <= 19:
        return Finding(1, "The ground is level enough.")
    return Finding(steep, "The ground is steeper than 1 in 3 (19°): air drains down it.")


def _ground(here: Surroundings) -> Finding:
    if here.growth is None:
        return Finding(None, "What covers the ground?", "ground")
    if here.growth == inf:
        return Finding(
            4, "There are no plants under it, but paving, gravel or a roof, which warm in the sun."
        )
    if here.growth < SHORT:
        return Finding(1, "Short grass or what grows naturally low lies under it.")
    if here.growth < KNEE_HIGH:
        return Finding(3, "The grass around it is higher than a hand is wide (10 cm).")
    return Finding(4, "The growth around it is higher than 25 cm and holds damp air.")


def _warm(here: Surroundings) -> Finding:
    nearest = here.nearest_warmth
    if nearest is None:
        return Finding(None, "How near are walls, roofs, paving and water?", "near")
    what, distance = nearest
    where = f"The nearest of walls, roofs, paving and water ({what}) is {distance:g} m away"
    for number in (1, 2, 3):
        if distance >= CLEAR[number]:
            return Finding(number, f"{where}." if what else "No wall, roof, paving or water is near it.")
        if all(_within(here, *limit) for limit in SHARES[number]):
            return Finding(number, f"{where}, but covers little of the ground around.")
    if here.share(10) is None or here.share(3) is None:
        return Finding(None, f"{where}: how much of the ground around do they cover?", "cover")
    if all(_within(here, *limit) for limit in SHARES[4]):
        return Finding(4, f"{where}, and such surfaces cover a good part of the circle of ten steps.")
    return Finding(
        5, "Walls, roofs, paving or water cover half of the circle of ten steps, or a third of that of three."
    )


def _within(here: Surroundings, radius: int, inside: int, most: float) -> bool:
    share = here.share(radius, inside)
    if share is None:
        return False
    # 'At most' in classes 1 to 3, 'less than' in class 4: nobody measures it so finely.
    return share <= most


def shade_angle(here: Surroundings, usual: float) -> float | None:
    """The sun's height up to which it is shaded [deg], as seen or as it follows from what stands around."""
    if here.shade is not None:
        return here.shade
    if here.obstacles is None:
        return None
    above = usual if here.height is None else here.height
    return highest_shade(here.obstacles, here.latitude, above)


def _shade(here: Surroundings) -> Finding:
    angle = shade_angle(here, USUAL_HEIGHT)
    if angle is None:
        return Finding(None, "What stands in each direction, and how high is it?", "around")
    number = next((number for number, most in SHADE.items() if angle <= most), 5)
    if number == 1:
        return Finding(1, "Shade falls on it only while the sun is lower than 5°.")
    return Finding(number, f"Something shades it while the sun stands up to {min(angle, 90):.0f}° high.")


def changes(here: Surroundings) -> Iterator[Change]:
    """What a household could do for its thermometer, the easiest first."""
    if here.growth is not None and SHORT <= here.growth < inf:
        yield Change("Keep the grass around it below 10 cm.", replace(here, growth=0.05))
    if here.growth == inf:
        yield Change("Stand it over grass instead of paving, gravel or a roof.", replace(here, growth=0.05))
    nearest = here.nearest_warmth
    if nearest is not None and nearest[1] < CLEAR[1]:  # a step at a time: few gardens have 100 m to spare
        yield _away(here, min(each for each in CLEAR.values() if each > nearest[1]))
    angle = shade_angle(here, USUAL_HEIGHT)
    if angle is not None and angle > SHADE[1]:
        most = SHADE[2] if angle > SHADE[2] else SHADE[1]
        words = f"Stand it where nothing shades it once the sun is higher than {most:.0f}°."
        yield Change(words, replace(here, shade=most))
    if here.slope is not None and here.slope > 19:
        yield Change("Stand it on level ground.", replace(here, slope=0.0))


def _away(here: Surroundings, distance: float) -> Change:
    """The thermometer that much further from everything warm; walls then shade it less, too."""
    warm = {what: max(far, distance) for what, far in (here.warm or {}).items()}
    shares = {radius: share for radius, share in here.shares.items() if radius > distance}
    apart = here.obstacles and tuple(
        one if one.grows else replace(one, distance=max(one.distance, distance)) for one in here.obstacles
    )
    after = replace(here, warm=warm, shares=shares, obstacles=apart, shade=None if apart else here.shade)
    return Change(f"Stand it at least {distance:.0f} m from walls, roofs, paving and water.", after)
