"""Siting of wind instruments: how near obstacles are, in multiples of their height, and the land around."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from network.science.siting.assessment import Change, Finding
from network.science.siting.surroundings import Obstacle, Surroundings

RATIO = {1: 30.0, 2: 10.0, 3: 5.0, 4: 2.5}
"""Obstacles are at least so many times as far away as they are high, by class."""

IGNORED = {1: 4.0, 2: 4.0, 3: 5.0, 4: 6.0}
"""[m] Single obstacles lower than this do not count beside a mast of standard height."""

NARROW = {1: 15.0, 2: 15.0, 3: 10.0}
"""Masts and thin trees are at least so many times as far away as they are wide."""

ROUGHNESS = {1: 0.10, 2: 0.25}
"""[m] Roughness length of the land around (Davenport index 4 and 5)."""

STANDARD = 10.0
"""[m] Height of a wind mast over open ground."""


def rules(here: Surroundings) -> tuple[Finding, ...]:
    """What each rule makes of the surroundings of a wind instrument.

    Source: WMO-No. 8, volume I, annex 1.D (ISO 19289), surface wind: from memory. What may be ignored is meant for
    a mast of 10 m; below a lower one it is taken as lower in proportion, and class 4 then ignores nothing.
    """
    return _around(here), _narrow(here), _land(here)


def allowed(number: int, one: Obstacle, mast: float) -> bool:
    """Whether an obstacle is far enough for a class, or low enough to be ignored."""
    share = min(mast / STANDARD, 1.0)
    low = 0.0 if number == 4 and mast < STANDARD else IGNORED[number] * share
    return one.height < low or one.ratio(0.0) >= RATIO[number]


def _around(here: Surroundings) -> Finding:
    if here.obstacles is None:
        return Finding(None, "What stands in each direction, and how high is it?", "around")
    if here.height is None:
        return Finding(None, "How high is the mast?", "mast")
    number, one = hardest(here)
    if number == 5 and here.widest_tall > 60 and one is None:
        return Finding(
            5, "Something higher than 10 m stands within 40 m over more than a sixth of the horizon."
        )
    if one is None:
        return Finding(1, "It stands open on all sides.")
    words = f"{one.words[0].upper()}{one.words[1:]} is {one.ratio(0.0):.1f} times as far away as it is high"
    return Finding(number, f"{words}; an undisturbed wind needs 10 to 30 times.")


def hardest(here: Surroundings) -> tuple[int, Obstacle | None]:
    """The class that the obstacles allow, and the one that decides it."""
    mast = here.height or 0.0
    obstacles = here.obstacles or ()
    for number in RATIO:
        failing = [one for one in obstacles if not allowed(number, one, mast)]
        if not failing and (number < 4 or here.widest_tall <= 60):
            before = [one for one in obstacles if number > 1 and not allowed(number - 1, one, mast)]
            return number, min(before, key=lambda one: one.ratio(0.0), default=None)
    failing = [one for one in obstacles if not allowed(4, one, mast)]
    return 5, min(failing, key=lambda one: one.ratio(0.0), default=None)


def _narrow(here: Surroundings) -> Finding:
    if here.narrow is None:
        return Finding(None, "Is there a mast or a thin tree beside it?", "narrow")
    number = next((number for number, least in NARROW.items() if here.narrow >= least), 4)
    if number == 1:
        return Finding(1, "No mast or thin tree disturbs it.")
    return Finding(number, f"A mast or thin tree is only {here.narrow:.0f} times as far away as it is wide.")


def _land(here: Surroundings) -> Finding:
    if here.roughness is None:
        return Finding(None, "What is the land around like?", "land")
    number = next((number for number, most in ROUGHNESS.items() if here.roughness <= most), 3)
    if number == 1:
        return Finding(1, "The land around is open.")
    return Finding(number, "The land around is rough: hedges, orchards or houses slow the wind.")


def changes(here: Surroundings) -> Iterator[Change]:
    """What a household could do for its wind instrument, the easiest first."""
    number, one = hardest(here)
    if one is not None and here.height is not None:
        target = RATIO[min(number - 1, 4)]
        others = [each for each in here.obstacles or () if each is not one]
        least = target * one.height
        words = f"Stand the mast at least {least:.0f} m from {one.words}"
        if one.grows:
            words += f", or keep that below {one.distance / target:.1f} m"
        yield Change(f"{words}.", replace(here, obstacles=(*others, replace(one, distance=least))))
        if here.height < STANDARD:
            words = "Bring the instrument higher, up to 10 m: then low things around it no longer count."
            yield Change(words, replace(here, height=STANDARD))
        better = max(number - 1, 1)
        away = tuple(
            replace(each, distance=max(each.distance, RATIO[better] * each.height))
            for each in here.obstacles or ()
        )
        words = (
            f"Find a place where everything is at least {RATIO[better]:g} times as far away as it is high."
        )
        yield Change(words, replace(here, obstacles=away))
    if here.narrow is not None and here.narrow < 15:
        yield Change(
            "Stand it further from the mast or thin tree: 15 times its width.", replace(here, narrow=inf)
        )
